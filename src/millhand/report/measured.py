"""What every face shows of elements that were timed: one row an element, each figure a fact id, and words below."""

from dataclasses import dataclass

from millhand.model.part import ManualElement, Readings
from millhand.model.study import Study

CONVENTIONS = {"work": "of work", "day": "of the day"}
FITS = {
    "constant": "one constant time",
    "lognormal": "a lognormal",
    "triangular": "a triangle",
    "empirical": "the readings themselves",
}
FENCES = (
    "Out of line: beyond a quartile by more than one and a half times the quartiles' distance (the inner fences of the "
    "Engineering Statistics Handbook, 7.1.6). Marked, not dropped: they count in every figure."
)
FIT_RULE = (
    "Drawn in the simulation: the nearer of a lognormal (mean and spread of the readings) and a triangle (their ends "
    "and mean); the readings themselves where even that lies further off than one right sample in twenty does."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One timed element; the figures are fact ids."""

    name: str
    readings: str
    mean: str
    deviation: str
    out_of_line: str
    needed: str
    rating: str
    allowance: str
    convention: str
    standard: str
    source: str
    fit: str
    rows_out_of_line: str  # of the file; '' where there are none
    short: bool  # fewer readings than the precision needs


def measured_rows(study: Study) -> tuple[Row, ...]:
    """The timed elements in the order of the inquiry."""
    elements = {element.name: element for element in study.inquiry.today.elements}
    return tuple(
        _row(
            study,
            elements[each.element],
            readings,
            needed=each.needed,
            allowance=each.allowance,
            standard=each.standard,
        )
        for each in study.measured
        if (readings := elements[each.element].readings) is not None
    )


def _row(
    study: Study, element: ManualElement, readings: Readings, *, needed: str, allowance: str, standard: str
) -> Row:
    convention = readings.allowance_of.value if readings.allowance_of is not None else "work"
    return Row(
        name=element.name.replace("_", " "),
        readings=readings.readings.id,
        mean=readings.mean_s.id,
        deviation=readings.deviation_s.id,
        out_of_line=readings.out_of_line.id,
        needed=needed,
        rating=readings.rating.id,
        allowance=allowance,
        convention=CONVENTIONS[convention],
        standard=standard,
        source=readings.mean_s.source,
        fit=FITS[readings.fit.dist],
        rows_out_of_line=", ".join(str(row) for row in readings.marked),
        short=study.facts[needed].value > readings.readings.value,
    )

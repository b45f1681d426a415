"""Sizes in their forms, operations and their machines, and times of which nobody said what is in them."""

from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputErrors
from millhand.intake.inquiry import inquiry_of
from millhand.intake.yaml_tree import tree_of
from millhand.model.inquiry import Inquiry

DOZEN = (Path(__file__).resolve().parents[1] / "data" / "dozen.yaml").read_text(encoding="utf-8")


def with_changes(*changes: tuple[str, str]) -> Inquiry:
    """The dozen facts with some of their words changed."""
    text = DOZEN
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return inquiry_of(tree_of(text.encode(), "i.yaml"), Path(), assumptions())


@pytest.mark.parametrize(
    "text", ["60 dia x 120 mm", "dia 60 x 120 mm", "Ø60 × 120 mm", "60 mm x 12 cm", "{diameter: 60 mm, length: 120 mm}"]
)
def test_a_round_part_has_diameter_and_length(text: str) -> None:
    """One fact is both width and height, under the path of the diameter."""
    raw = with_changes(("prismatic", "round"), ("120 x 80 x 40 mm", text)).parts[0].raw

    assert [raw.length_m.value, raw.width_m.value] == pytest.approx([0.12, 0.06])
    assert raw.width_m is raw.height_m
    assert raw.width_m.id == "parts.bracket.raw.diameter"


def test_a_finished_part_is_a_share_of_the_raw_one() -> None:
    """Size and mass that nobody gave follow from the raw part, with a range and a note."""
    part = with_changes().parts[0]

    row = assumptions()["parts.*.finished_mass"]
    assert row.value is not None
    assert part.finished_mass_kg.value == pytest.approx(2.4 * row.value)
    assert (part.finished_mass_kg.unit, part.finished_mass_kg.basis) == ("kg", "assumed")
    assert part.finished_mass_kg.note == "a share of parts.bracket.raw_mass: 0.75"
    assert part.finished.length_m.high == pytest.approx(0.12)


def test_a_time_of_unknown_meaning_carries_both_readings() -> None:
    """Between the time without and with the exchange at the machine; high on the list of questions."""
    inquiry = with_changes(("time_is: cycle", "time_is: unknown"))

    operation = inquiry.parts[0].operations[0]
    exchange = next(element for element in inquiry.today.elements if element.side.value == "outside")
    time = operation.time_s
    assert (time.low, time.high) == (380 - exchange.time_s.value, 380)
    assert time.value == 380 - exchange.time_s.value / 2
    assert (time.basis, time.shape, time.question) == ("assumed", "uniform", operation.time_is.question)
    assert time.note == "written as 380 s; with or without the exchange at the machine is not known"
    assert assumptions()["parts.*.*.time_is"].kills == 1


def test_a_time_whose_meaning_is_said_stays_as_it_is() -> None:
    """No range is made up."""
    time = with_changes(("time_is: cycle", "time_is: floor_to_floor")).parts[0].operations[0].time_s

    assert (time.value, time.low, time.basis) == (380, None, "given")


def test_a_judged_meaning_ends_the_question() -> None:
    """The engineer may say what the time is."""
    inquiry = with_changes(
        ("time_is: cycle", "time_is: unknown"),
        ("wishes:", "judged:\n  parts.bracket.milling.time_is: {value: floor_to_floor, reason: asked}\nwishes:"),
    )

    assert inquiry.parts[0].operations[0].time_s.value == 380
    assert inquiry.parts[0].operations[0].time_is.basis == "judged"


@pytest.mark.parametrize(
    ("kind", "clamping", "value"),
    [("mill", "hand_vise", 45), ("lathe", "powered_chuck", 35), ("moulding", "mould", 10)],
)
def test_gaps_depend_on_the_machine(kind: str, clamping: str, value: float) -> None:
    """Clamping by kind, exchange by kind and clamping."""
    inquiry = with_changes(("kind: mill", f"kind: {kind}"))

    assert inquiry.machines[0].clamping.value == clamping
    assert inquiry.today.elements[0].time_s.value == value


def test_several_parts_in_a_fixture_take_longer_to_exchange() -> None:
    """The usual exchange depends on the parts of one cycle."""
    elements = with_changes(("parts_per_cycle: 1", "parts_per_cycle: 4")).today.elements

    assert elements[0].time_s.source.startswith("assumptions.csv, today.elements.exchange.time@mill+several: ")


def test_machines_may_stand_somewhere() -> None:
    """Each stand is one machine, numbered from 1; positions may be negative."""
    stands = "count: 2\n    stands: [{x: 0 m, y: -1 m, faces: south}, {x: 3.5 m, y: -1 m, faces: south}]"
    places = with_changes(("count: 2", stands)).places

    assert [(place.machine, place.number, place.x_m.value, place.y_m.value) for place in places] == [
        ("mill", 1, 0.0, -1.0), ("mill", 2, 3.5, -1.0),
    ]  # fmt: skip
    assert places[1].x_m.id == "machines.mill.stands.2.x"


def test_a_missing_assumption_is_a_missing_fact() -> None:
    """A gap that no row fills is asked for, never guessed."""
    rows = {key: row for key, row in assumptions().items() if not key.startswith("machines.*.spacing")}

    with pytest.raises(InputErrors, match=r"read 'no machines\.mill\.spacing'; write spacing: a length"):
        inquiry_of(tree_of(DOZEN.encode(), "i.yaml"), Path(), rows)

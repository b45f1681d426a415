"""Elements that were timed with the stopwatch: readings needed for the precision that is wanted, and standard times."""

from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.measured import Measured
from millhand.model.part import ManualElement, Readings
from millhand.trace import Sheet, apply


def measured(inquiry: Inquiry, sheet: Sheet) -> tuple[Measured, ...]:
    """Every element that names readings, in the order of the inquiry."""
    return tuple(
        _element(element, element.readings, inquiry, sheet)
        for element in inquiry.today.elements
        if element.readings is not None
    )


def _element(element: ManualElement, readings: Readings, inquiry: Inquiry, sheet: Sheet) -> Measured:
    """One element; its own allowance in its own convention, else that of the people on work time."""
    of_day = readings.allowance_of is not None and readings.allowance_of.value == "day"
    allowance = readings.allowance or inquiry.people.allowance
    standard = apply(
        sheet,
        "standard_time_of_shift_s" if of_day else "standard_time_s",
        f"today.elements.{element.name}.standard_time",
        normal_s=element.time_s,
        allowance_share=allowance,
    )
    needed = _needed(f"today.elements.{element.name}.readings", readings, sheet)
    return Measured(element=element.name, needed=needed.id, allowance=allowance.id, standard=standard.id)


def _needed(at: str, readings: Readings, sheet: Sheet) -> Fact:
    """Readings in all, by the spread and Student's t of those that are there."""
    quantile = apply(
        sheet, "student_quantile", f"{at}.quantile", readings=readings.readings, confidence=readings.confidence
    )
    error = apply(sheet, "wanted_error_s", f"{at}.error", mean_s=readings.mean_s, precision=readings.precision)
    exact = apply(
        sheet,
        "readings_needed",
        f"{at}.exact_number",
        deviation_s=readings.deviation_s,
        error_s=error,
        quantile=quantile,
    )
    return apply(sheet, "whole_readings", f"{at}.needed", needed=exact)

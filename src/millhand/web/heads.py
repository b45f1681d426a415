"""What follows from the operators that were told once: how many machines each tends, and who is there in each shift."""

from millhand.intake.fields import Field, Paper
from millhand.intake.inquiry_sums import machine_count, manned
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.report.view import listed

BEFORE = "How many machines one operator tends, and who is there in each shift, follows from it."
NUMBERS = ("first", "second", "third")


def heads(paper: Paper) -> str:
    """It in words; before the inquiry can be read, that it follows; '' where machines a head are told themselves."""
    if paper.inquiry is None:
        return BEFORE
    if told(paper, "people.machines_per_operator"):
        return ""
    return of_each(paper.inquiry) if any(told(paper, each) for each in of_shifts(paper)) else alike(paper.inquiry)


def of_shifts(paper: Paper) -> tuple[str, ...]:
    """The paths of the operators of each shift."""
    return tuple(each.path for each in paper.all_fields() if ".operators" in each.path and "shifts." in each.path)


def told(paper: Paper, path: str) -> bool:
    """Whether something was typed there."""
    found: Field | None = next((each for each in paper.all_fields() if each.path == path), None)
    return found is not None and bool(found.text)


def alike(inquiry: Inquiry) -> str:
    """As many in each shift."""
    own, shifts = inquiry.people.operators.value, len(manned(inquiry))
    machines = machine_count(inquiry)
    there = f"{counted(own, 'operator')} in each of {shifts} shifts" if shifts > 1 else counted(own, "operator")
    return f"So {there} for {counted(machines, 'machine')}: one operator tends {counted(machines / own, 'machine')}."


def of_each(inquiry: Inquiry) -> str:
    """More in one shift than in another."""
    machines, said = machine_count(inquiry), []
    for number, shift in enumerate(manned(inquiry)):
        which = NUMBERS[number] if number < len(NUMBERS) else f"{number + 1}th"
        own = shift.operators.value
        each = f", {counted(machines / own, 'machine')} each" if own > 0.0 else ""
        said.append(f"{counted(own, 'operator')} in the {which} shift{each}")
    return f"So for {counted(machines, 'machine')}: {'; '.join(said)}."


def counted(value: float, what: str) -> str:
    """A number of something, as a list of facts shows it."""
    number = listed(Fact(id="sheet", value=value, unit="1", basis="computed", source="the call sheet"))
    return f"{number} {what}" if value == 1.0 else f"{number} {what}s"

"""Where more of something stops to pay: the knee of a row of sizes, and why it lies there."""

from collections.abc import Sequence

from millhand.model.fact import Fact
from millhand.model.sizing import SizePoint
from millhand.trace import Sheet, apply, found

NEARLY = 0.97  # of the whole gain between the least and the best point
FACTORS = (0.25, 0.5, 1.0, 2.0, 4.0)
CALLED = {"faults": "share of parts at which the loading needs a person", "tool_life": "tool life"}


def point(base: str, sheet: Sheet, made: Sheet, concept: str, value: Fact) -> SizePoint:
    """One point out of the sheet in which it was worked out, written into the study's own map."""
    of = f"concepts.{concept}."

    def copied(name: str, fact: Fact, words: str) -> Fact:
        new = Fact(id=f"{base}.{name}", value=fact.value, unit=fact.unit, basis="computed", source=words)
        return found(sheet, new)

    def kept(name: str, fact_id: str) -> str | None:
        if fact_id not in made:
            return None
        fact = made[fact_id]
        return copied(name, fact, f"follows from the same cell with this size, {fact.formula or 'a solver'}").id

    own = copied("value", value, f"follows from {value.id}, moved")
    pockets, shift = made[f"{of}feasibility.pockets"], made[f"{of}performance.parts_per_shift"]
    refills = apply(
        sheet, "refills_a_shift", f"{base}.refills_a_shift",
        parts_per_shift=copied("parts_a_shift", shift, f"follows from {shift.id}, at this size"),
        pockets=copied("pockets", pockets, f"follows from {pockets.id}, at this size"),
    )  # fmt: skip
    runs_alone = f"{of}performance.expected_alone" in made
    return SizePoint(
        value=own.id,
        refills_a_shift=refills.id,
        alone_expected=kept("alone_expected", f"{of}performance.expected_alone"),
        alone_simulated=kept("alone_simulated", f"{of}performance.alone_parts") if runs_alone else None,
        parts_per_y=str(kept("parts_per_y", f"{of}performance.capacity_parts_per_y")),
        payback_months=kept("payback", f"{of}case.payback"),
        npv=str(kept("npv", f"{of}case.npv")),
    )


def knee(points: Sequence[SizePoint], sheet: Sheet, *, rising: bool) -> int | None:
    """The first point, seen from the worse end, that has nearly all of the gain; None where nothing is gained."""
    order = list(range(len(points))) if rising else list(range(len(points)))[::-1]
    worths = [sheet.value(points[index].npv) for index in order]
    least, most = min(worths), max(worths)
    if most - least <= 0.005 * max(abs(most), 1.0):
        return None
    enough = least + NEARLY * (most - least)
    return next(index for index, worth in zip(order, worths, strict=True) if worth >= enough)


def knee_words(moved: str, points: Sequence[SizePoint], sheet: Sheet, at: int | None) -> str:
    """What the row says, in one or two sentences."""
    if moved == "pockets":
        return _presenter(points, sheet, at)
    if at is None:
        return f"With the price held, another {CALLED[moved]} moves next to nothing here."
    place = f"[[{points[at].value}|{'share' if moved == 'faults' else 'few_parts'}]]"
    alone = any(each.alone_expected for each in points)
    if moved == "faults":
        why = "alone the first one ends the run" if alone else "each one calls somebody"
        if at == 0:
            return f"Every fault fewer pays, down to the end of this row: {why}."
        return f"Down to {place} fewer faults pay ({why}); below that little is gained."
    if at == len(points) - 1:
        return "Longer tool life pays to the end of this row."
    why = "from there on something else ends the run alone" if alone else "tools are then seldom changed in a shift"
    return f"Up to {place} longer tool life pays; beyond that little is gained: {why}."


def _presenter(points: Sequence[SizePoint], sheet: Sheet, at: int | None) -> str:
    """Why a presenter of that size is enough: what carries the hours alone, and how often somebody comes anyway."""
    if at is None:
        return "With the price held, another size moves next to nothing: somebody is there to refill whenever it calls."
    reasons = [each for each in (_night(points, sheet), _shift(points, sheet)) if each]
    if at == len(points) - 1:
        return " ".join(["A larger presenter pays to the end of this row.", *reasons])
    return " ".join([f"Beyond [[{points[at].value}|few_parts]] a larger presenter brings next to nothing.", *reasons])


def _night(points: Sequence[SizePoint], sheet: Sheet) -> str:
    """From which size on the hours alone gain nothing more."""
    alone = [sheet.value(each.alone_expected) for each in points if each.alone_expected]
    if len(alone) < len(points):
        return ""
    enough = next(each for each, made in zip(points, alone, strict=True) if made >= NEARLY * max(alone))
    if enough is points[-1]:
        return "In the hours alone each part that it holds more is one that may be made."
    return (
        f"The hours alone are carried from [[{enough.value}|few_parts]] on: then tools, chips, the lot or the first "
        "fault end the run, not the presenter."
    )


def _shift(points: Sequence[SizePoint], sheet: Sheet) -> str:
    """Whether one refill a shift is reached."""
    once = next((each for each in points if sheet.value(each.refills_a_shift) <= 1.0), None)
    if once is None:
        return "One refill a shift is not reached with any of these sizes."
    return f"One refill a shift is reached at [[{once.value}|few_parts]]: somebody comes by that often anyway."

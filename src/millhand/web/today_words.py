"""What the call sheet says of today's output: what it is in a year, and where times and hours do not allow it."""

from collections.abc import Iterator
from dataclasses import dataclass

from millhand.intake.fields import Paper
from millhand.intake.today_held import FAR, held, likely, parts_per_y, untold
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.report.view import listed

WHAT = {
    "exchange": "door, unloading and loading by hand", "gauge": "gauging by hand",
    "setup": "changeover of a machine", "short_takes": "length of a short stop", "long_takes": "length of a breakdown",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line below today's output; `warns`: it is held against the figures of the sheet."""

    words: str
    title: str = ""
    warns: bool = False


def about_today(paper: Paper) -> tuple[Line, ...]:
    """The lines of an inquiry that can be read; none of any other."""
    return tuple(lines(paper)) if paper.inquiry is not None else ()


def lines(paper: Paper) -> Iterator[Line]:
    """What is sold a year beside what could be sold, then what does not go together."""
    inquiry = paper.inquiry
    assert inquiry is not None
    sold, sellable = parts_per_y(inquiry), sum(each.orders_per_y.value for each in inquiry.parts)
    words = f"That is about {said(sold, 'parts')} a year, all of them good"
    if sold > FAR * sellable:
        yield Line(
            title="More is made than could be sold.", warns=True,
            words=f"{words}, and {said(sellable, 'parts')} a year could be sold. Check either figure, and the work "
            "days a year.",
        )  # fmt: skip
    elif sellable > FAR * sold:
        yield Line(words=f"{words}; {said(sellable - sold, 'parts')} more could be sold.")
    else:
        yield Line(words=f"{words}: all that could be sold.")
    missing = untold(inquiry)
    if missing:
        named = tuple(dict.fromkeys(map(asked, missing)))
        words, are = "; ".join(named), "is" if len(named) == 1 else "are"
        yield Line(words=f"Whether times and hours allow that is said here once it can be: {words} {are} not told yet.")
    else:
        yield from over(inquiry)


def over(inquiry: Inquiry) -> Iterator[Line]:
    """What does not go together once all is told that the sum rests on: by that alone, else with what is assumed."""
    found, mean = held(inquiry), likely(inquiry)
    if found is not None and found.is_over:
        loading = f", {said(found.loading_s, 's')} of loading in it," if found.loading_s > 0.0 else ""
        yield Line(
            title="More is told than these times and hours allow.", warns=True,
            words=f"Told are {said(found.told, 'parts')} a shift; {machines(found.machines)}, present for "
            f"{said(found.present_s, 's')} a shift, at {said(found.time_s, 's')} a part{loading} make "
            f"{said(found.allowed, 'parts')} at most. Check the time of one cycle and what is in it, the parts made in "
            "one cycle, the number of machines, the length of the shifts, and whether the figure is that of a day.",
        )  # fmt: skip
    elif mean is not None and mean.is_over:
        assumed = "; ".join(dict.fromkeys(map(asked, mean.assumed)))
        with_ = f" Assumed in it: {assumed}." if assumed else ""
        yield Line(
            title="More is told than these times make.", warns=True,
            words=f"Told are {said(mean.told, 'parts')} a shift; with loading, changeovers and stops "
            f"{machines(mean.machines)} would make about {said(mean.made, 'parts')}, less where one waits for the "
            f"other. The study says so too.{with_} Check these, and the times of the cycles.",
        )  # fmt: skip


def machines(count: float) -> str:
    """So many machines."""
    return "1 machine" if count == 1.0 else f"{said(count, '1')} machines"


def asked(fact: Fact) -> str:
    """A figure that nobody told, by what it is, with what is assumed meanwhile."""
    pieces = fact.id.split(".")
    if fact.id.startswith("today.elements."):
        about = WHAT.get(pieces[2]) or f"{pieces[2].replace('_', ' ')} by hand"
    else:
        about = WHAT.get(pieces[-1], "length of a break")
    return f"{about} ({listed(fact)} meanwhile)"


def said(value: float, unit: str) -> str:
    """A figure as a list of facts shows it."""
    return listed(Fact(id="sheet", value=value, unit=unit, basis="computed", source="the call sheet"))

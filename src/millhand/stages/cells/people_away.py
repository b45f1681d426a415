"""When people who should be there are not at the machines: absence, handover, and calls away from them.

Absence and handover are duties of one person that the clock calls at the start of each of his shifts: a handover takes
its minutes each time, an absence the whole shift on its share of the shifts and no time on all others. So they are
drawn on the shop's own calendar, by the same chance in every cell of a study: they are the first duties in its file.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import fsum

from millhand.model.cell import AttendantFault
from millhand.model.duty import Duty, Trigger
from millhand.model.fact import Fact
from millhand.model.shop import Shift
from millhand.model.span import Span
from millhand.stages.cells.shared import DAY_S, WEEK_S, Draft, day_lengths_s
from millhand.trace import apply

FIRST, SECOND = 1, 2  # priorities, before any other duty: who stays away does nothing else
LEAST_SHARE = 400  # an absence is kept as one of so many equally likely shifts at least
LAST_S = WEEK_S - 1.0


def hours_lost(draft: Draft, person: str, number: int, shifts: Sequence[Shift], place: str) -> dict[str, Duty]:
    """The absences and handovers of one person, in each of his shifts; nothing where the inquiry has none."""
    return dict(_lost(draft, person, number, shifts, place))


def _lost(draft: Draft, person: str, number: int, shifts: Sequence[Shift], place: str) -> Iterator[tuple[str, Duty]]:
    """An absence in each shift, then one handover for all: what waited for one who did not come is done at the next
    change of shifts, once."""
    calls = [(f"absence_{number}_{1 + draft.inquiry.shifts.index(each)}", FIRST, (each,), _missed) for each in shifts]
    for name, priority, called, takes in (*calls, (f"handover_{number}", SECOND, tuple(shifts), _handover)):
        span = takes(draft, called[0], f"/duties/{name}/takes") if called else None
        if span is not None:
            trigger = Trigger(kind="clock", at_s=starts_s(called))
            yield name, Duty(trigger=trigger, who=(person,), priority=priority, place=place, takes=span)


def starts_s(shifts: Sequence[Shift]) -> tuple[float, ...]:
    """When shifts begin, in seconds of the week.

    A shift on Monday alone would read as one of every day: it is called at the end of Sunday as well, and that call
    waits for the same person on Monday.
    """
    starts = {
        (shift.start_s.value + day * DAY_S) % WEEK_S for shift in shifts for day in range(len(day_lengths_s(shift)))
    }
    return tuple(sorted(starts)) if max(starts) >= DAY_S else (*sorted(starts), LAST_S)


def absent_share(draft: Draft) -> Fact:
    """Share of the shifts in which nobody comes."""
    people = draft.inquiry.people
    return apply(
        draft.sheet, "absent_share", "shifts.absent_share", absence=people.absence, unreplaced=people.unreplaced
    )


def _missed(draft: Draft, shift: Shift, pointer: str) -> Span | None:
    """The whole shift on the share of shifts in which nobody comes, no time on the others."""
    share = absent_share(draft)
    missed = apply(draft.sheet, "missed_s", f"shifts.{shift.name}.missed", absent_share=share, length_s=shift.length_s)
    if missed.value <= 0.0:
        return None
    draft.note(pointer, missed)
    away = max(1, int(share.value * LEAST_SHARE))
    shifts = round(away / share.value)
    values = (0.0,) * (shifts - away) + (missed.value * shifts / away,) * away
    return Span(dist="empirical", mean_s=fsum(values) / shifts, values_s=values)


def _handover(draft: Draft, _: Shift, pointer: str) -> Span | None:
    """The minutes in which nobody tends the machines."""
    handover = draft.inquiry.people.handover_s
    return draft.seconds(pointer, handover) if handover.value > 0.0 else None


def called_away(draft: Draft, person: str) -> tuple[AttendantFault, ...]:
    """Calls away from the machines, by chance; nothing where nobody is called."""
    people = draft.inquiry.people
    if people.away.value <= 0.0:
        return ()
    every = apply(
        draft.sheet, "between_calls_s", "shifts.between_calls", away_share=people.away, takes_s=people.away_takes_s
    )
    at = f"/attendants/{person}/faults/0"
    between, takes = draft.random(f"{at}/every", every), draft.seconds(f"{at}/self_s", people.away_takes_s)
    return (AttendantFault(id="away", on="clock", every=between, self_s=takes),)


def after(duties: dict[str, Duty]) -> dict[str, Duty]:
    """The same duties, behind those that people are not there for."""
    return {name: replace(duty, priority=duty.priority + SECOND) for name, duty in duties.items()}

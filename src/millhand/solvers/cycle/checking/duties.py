"""The rules of duties in a cycle: done by somebody who may, for their time, once in so many parts."""

from collections.abc import Iterator
from fractions import Fraction

from millhand.errors import NotYet
from millhand.model.duty import Duty
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.checking.play import Play
from millhand.solvers.cycle.checking.rules import Rules
from millhand.solvers.cycle.checking.waits import waits_of
from millhand.solvers.cycle.unrolled import Handled


def duty_violations(play: Play, schedule: Schedule, whole: list[Handled]) -> Iterator[str]:
    """What is wrong with the duties that the cycle contains; those that it leaves out are named in the schedule."""
    rules, waits = play.rules, waits_of(schedule)
    done = [each for each in whole if each.kind == "duty"]
    for each in done:
        duty = rules.cell.duties.get(each.first.part)
        if duty is None:
            yield f"{each.first.id} is no duty of the cell"
            continue
        if duty.holds != "nothing":
            raise NotYet("a check of a duty that holds something", where=f"/duties/{each.first.part}")
        if each.who not in duty.who:
            yield f"{each.who} cannot do {each.first.part}"
        elif play.cell.attendants[each.who].hands - play.held[each.first.id] < duty.needs_hands:
            yield f"{each.who} has not the {duty.needs_hands} hands empty that {each.first.part} needs"
        spots = [duty.place] if duty.place else [rules.cell.stations[at].place for at in duty.trigger.at]
        if each.first.place not in spots:
            yield f"{each.first.part} is done at {each.first.place}, not at {spots[0]}"
        takes = rules.steps(duty.takes.mean_s)
        first, last = each.first.id, each.last.id
        if each.hold_steps != takes or each.first.place != each.last.place:
            yield f"{each.first.part} takes {each.hold_steps} steps, not {takes}"
        elif not waits.implied(first, last, lag=takes, laps=each.laps):
            yield f"no arcs make {last} wait {takes} steps for {first}"
    for name in dict.fromkeys([*(each.first.part for each in done), *asked_for(rules, schedule)]):
        duty = rules.cell.duties.get(name)
        if duty is not None:
            yield from number_of_duties(duty, (name, sum(each.first.part == name for each in done)), whole)


def asked_for(rules: Rules, schedule: Schedule) -> Iterator[str]:
    """The duties that come with the parts and that the schedule does not name as left out; in lots none is done."""
    for name, duty in rules.cell.duties.items():
        if schedule.goal == "rate" and duty.trigger.kind == "parts" and name not in schedule.duties_left_out:
            yield name


def number_of_duties(duty: Duty, times: tuple[str, int], whole: list[Handled]) -> Iterator[str]:
    """A duty after each n-th part comes as often as the parts of a period ask for."""
    name, count = times
    if duty.trigger.kind != "parts":
        yield f"{name} does not come with the parts"
        return
    made = sum(1 for each in whole if each.kind in ("pick", "swap", "self") and each.station in duty.trigger.at)
    wanted = Fraction(made, duty.trigger.every_n or 1)
    if count != wanted:
        yield f"{name} comes {count} times in a period, not {wanted} times"

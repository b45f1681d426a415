"""Today's output as it was told against what the times and hours of the same inquiry allow, while both are typed."""

from dataclasses import dataclass

from millhand.formulas.output import joint_availability
from millhand.intake.inquiry_sums import (
    asked_s,
    elements_at,
    load_s,
    loading_s,
    machine_count,
    manned,
    operations_at,
    present_s,
    setups_s,
    shifts_per_y,
    written,
)
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine

FAR = 1.05  # a stopwatch and a shift are not truer than that
MORE_THAN_MADE = "More is shipped than the times given here can make: one of them is wrong, or not all work is in them."


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What was told and what the machines allow, in good parts a shift; where they fall short, what that rests on."""

    told: float
    allowed: float
    machines: float
    present_s: float
    time_s: float  # of one part at these machines, loading in it
    loading_s: float  # of which nobody said that it is in the time of the operation

    @property
    def is_over(self) -> bool:
        """Whether more was told than is allowed."""
        return self.told > FAR * self.allowed


def held(inquiry: Inquiry) -> Held | None:
    """Of the machines that allow least; None where none has work or nobody is there. Assumed times at their shorter
    end, so that an assumption alone accuses nobody."""
    told = inquiry.today.parts_per_shift.value
    there = present_s(inquiry, assumed_breaks=False)
    used = {each.name: needed_s(inquiry, each) for each in inquiry.machines}
    busy = [each for each in inquiry.machines if used[each.name] > 0.0]
    if not busy or not machine_count(inquiry) or there <= 0.0 or told <= 0.0:
        return None
    worst = max(busy, key=lambda each: used[each.name] / each.count.value)
    loads = sum(load_s(inquiry, op, "outside") for _, op in operations_at(inquiry, worst))
    return Held(
        told=told, allowed=told * worst.count.value * there / used[worst.name], machines=worst.count.value,
        present_s=there, time_s=used[worst.name] / told, loading_s=loads,
    )  # fmt: skip


def needed_s(inquiry: Inquiry, machine: Machine) -> float:
    """Time of a shift that the output told takes on all machines of one kind: they cut, and stand to be loaded."""
    return asked_s(inquiry, machine) + loading_s(inquiry, machine)


def untold(inquiry: Inquiry) -> tuple[Fact, ...]:
    """What that rests on and nobody said yet: the loading of each machine while it stands, the breaks of each shift."""
    found = [pause.length_s for shift in manned(inquiry) for pause in shift.breaks if not written(pause.length_s)]
    for machine in inquiry.machines:
        for _, op in operations_at(inquiry, machine):
            outside = [each for each in elements_at(inquiry, op) if each.side.value == "outside"]
            every_load = [each.time_s for each in outside if each.every_n.value == 1.0]
            if op.time_is.value == "cycle" and not any(written(each) for each in every_load):
                found += every_load
    return tuple({each.id: each for each in found}.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class Likely:
    """What the machines make in a shift with all that is assumed at its likely value, before anybody waits for
    another; and what was assumed for it."""

    told: float
    made: float
    machine: str
    machines: float
    assumed: tuple[Fact, ...]

    @property
    def is_over(self) -> bool:
        """Whether more was told than they make."""
        return self.told > self.made


def likely(inquiry: Inquiry) -> Likely | None:
    """Of the machines that make least: they cut, are loaded, changed over and stop, as the study counts."""
    told, there = inquiry.today.parts_per_shift.value, present_s(inquiry)
    busy = [each for each in inquiry.machines if asked_s(inquiry, each) > 0.0 and each.count.value > 0.0]
    if not busy or there <= 0.0 or told <= 0.0:
        return None
    made = {each.name: told * each.count.value * there / likely_s(inquiry, each) for each in busy}
    worst = min(busy, key=lambda each: made[each.name])
    return Likely(
        told=told, made=made[worst.name], machine=worst.name, machines=worst.count.value,
        assumed=tuple(each for each in rests_on(inquiry, worst) if not written(each)),
    )  # fmt: skip


def likely_s(inquiry: Inquiry, machine: Machine) -> float:
    """Time of a shift that the output told takes on all machines of one kind, set-ups and stops in it."""
    cut, stops = asked_s(inquiry, machine), machine.stops
    steady = cut * (1.0 + stops.short_takes_s.value / stops.short_every_s.value)
    steady += loading_s(inquiry, machine, kindly=False)
    there = joint_availability([stops.long_every_s.value], takes_s=[stops.long_takes_s.value])
    return steady / there + (setups_s(inquiry, machine) if changes_lots(inquiry, machine) else 0.0)


def changes_lots(inquiry: Inquiry, machine: Machine) -> bool:
    """Whether one lot follows another there: of several families, or of several operations."""
    return sum(part.families.value for part, _ in operations_at(inquiry, machine)) > 1.0


def rests_on(inquiry: Inquiry, machine: Machine) -> tuple[Fact, ...]:
    """The figures of that sum which are seldom told on the phone."""
    stops, at = machine.stops, [op for _, op in operations_at(inquiry, machine)]
    loading = [each.time_s for op in at for each in elements_at(inquiry, op) if each.side.value == "outside"]
    setup = [inquiry.today.setup_s] if changes_lots(inquiry, machine) else []
    found = (*loading, *setup, stops.short_takes_s, stops.long_takes_s)
    return tuple({each.id: each for each in found}.values())


def parts_per_y(inquiry: Inquiry) -> float:
    """What today's output comes to in a year."""
    return inquiry.today.parts_per_shift.value * shifts_per_y(inquiry)

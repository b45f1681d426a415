"""Today's output as it was told against what the times and hours of the same inquiry allow, while both are typed."""

from dataclasses import dataclass

from millhand.intake.inquiry_sums import (
    asked_s,
    load_s,
    loading_s,
    machine_count,
    operations_at,
    present_s,
    shifts_per_y,
)
from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine

FAR = 1.05  # a stopwatch and a shift are not truer than that


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


def parts_per_y(inquiry: Inquiry) -> float:
    """What today's output comes to in a year."""
    return inquiry.today.parts_per_shift.value * shifts_per_y(inquiry)

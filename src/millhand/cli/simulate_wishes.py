"""What `millhand simulate` can be asked for, and what cannot be: each refusal says what to write instead."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import click

from millhand.model.cell import Cell

MOST_H = 10_000_000.0  # a thousand years, which nobody waits for
LEAST = 5  # replications before a precision is looked at
MOST_TIMES = 100  # so many times --replications are the most that a precision may take, where no other is said


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """What was asked for on the command line."""

    hours: float
    replications: int
    seed: int
    warm_up: float | None  # None: found by a pilot
    precision: float | None
    most: int | None

    @property
    def least(self) -> int:
        """Replications before a precision is looked at."""
        return max(LEAST, self.replications)

    @property
    def at_most(self) -> int:
        """Replications at which a precision is given up."""
        return max(self.least, self.most or MOST_TIMES * self.replications)


def hours_or_auto(_context: click.Context, _option: click.Parameter, value: str) -> float | None:
    """Hours to cut off; None where they are to be found."""
    if value == "auto":
        return None
    try:
        hours = float(value)
    except ValueError as trouble:
        raise click.BadParameter(f"{value!r} is no number; write hours, such as 24, or auto.") from trouble
    if not 0.0 <= hours <= MOST_H:
        raise click.BadParameter(f"{hours:g} is not from 0 to {MOST_H:.0f}.")
    return hours


def check_numbers(wishes: Wishes) -> None:
    """Numbers that no run can have are a wrong command line."""
    least_h = wishes.warm_up or 0.0
    for name, value, least in (("--hours", wishes.hours, least_h), ("--replications", wishes.replications, 0)):
        if not value > least:
            raise click.BadParameter(f"{value:g} is not more than {least:g}.", param_hint=name)
        if value > MOST_H:
            raise click.BadParameter(f"{value:g} is more than {MOST_H:.0f}.", param_hint=name)
    if wishes.precision is not None and not 0.0 < wishes.precision < 1.0:
        words = f"{wishes.precision:g} is not between 0 and 1; write a share, such as 0.01 for 1 %."
        raise click.BadParameter(words, param_hint="--precision")
    if wishes.most is not None:
        if wishes.precision is None:
            raise click.BadParameter("it limits --precision; write both or none.", param_hint="--most")
        if not wishes.least <= wishes.most <= MOST_H:
            words = f"{wishes.most} is not from {wishes.least} to {MOST_H:.0f}."
            raise click.BadParameter(words, param_hint="--most")


def check_files(files: Sequence[Path], wishes: Wishes) -> None:
    """A comparison wants different files and a spread."""
    twice = next((path for at, path in enumerate(files) if path in files[:at]), None)
    if twice is not None:
        raise click.BadParameter(f"{twice} stands there twice; name each cell once.", param_hint="CELL...")
    if len(files) > 1 and wishes.replications < 2:
        words = "one replication shows no spread; write 2 or more to compare cells."
        raise click.BadParameter(words, param_hint="--replications")


def check_log(files: Sequence[Path], *, log: Path | None, replication: int | None) -> None:
    """A log is that of one replication of one cell."""
    if log is not None and len(files) > 1:
        raise click.BadParameter("it writes the events of one cell; name one CELL with it.", param_hint="--log")
    if replication is None:
        return
    if log is None:
        raise click.BadParameter("it says what --log writes; write --log FILE too.", param_hint="--log-replication")
    if not 0 <= replication <= MOST_H:
        raise click.BadParameter(f"{replication} is not from 0 to {MOST_H:.0f}.", param_hint="--log-replication")


def check_hours(cell: Cell, wishes: Wishes) -> None:
    """The counted hours are at least a grid step, and a warm-up is looked for only where a run can settle."""
    if (wishes.hours - (wishes.warm_up or 0.0)) * 3600.0 < cell.grid_s:
        words = f"{wishes.hours:g} leaves less than one step of the cell's grid."
        raise click.BadParameter(words, param_hint="--hours")
    if wishes.warm_up is None and cell.goal == "makespan":
        words = f"{cell.name} ends with its lots and never settles; write --warm-up 0."
        raise click.BadParameter(words, param_hint="--warm-up")


def check_cut(cut_h: float, wishes: Wishes) -> None:
    """What a pilot found has to leave something to count."""
    if cut_h >= wishes.hours:
        words = f"{wishes.hours:g} is too short a run: the warm-up alone takes {cut_h:g}; write {10 * cut_h:g} or more."
        raise click.BadParameter(words, param_hint="--hours")

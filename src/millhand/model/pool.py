"""Machines that share their work: as one for what runs there, each with what is its own for what it needs."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from millhand.model.machine import Machine


def kinds_in(machines: Sequence[Machine]) -> Iterator[Machine]:
    """The machines as they were told: of those that share their work each kind by itself."""
    for machine in machines:
        yield from machine.shared or (machine,)


def each_of(machines: Sequence[Machine]) -> Iterator[Machine]:
    """Every single machine, in order; one that shares its work goes by the name that all of them share."""
    for machine in machines:
        for kind in machine.shared or (machine,):
            for _ in range(round(kind.count.value)):
                yield replace(kind, name=machine.name) if machine.shared else kind

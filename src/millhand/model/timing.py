"""How long one load takes the attendant and the machine in a concept; every figure a fact id [s]."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Side = Literal["machine stands", "arm alone"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Element:
    """One piece of an arm's work on one load, in words, and how long it takes in all for the load (fact id).

    The pieces in which the machine stands add up to its gap, those of the arm alone to its other work and its ways.
    """

    name: str
    time: str
    side: Side


@dataclass(frozen=True, slots=True, kw_only=True)
class OperationTiming:
    """One operation: a load is what the machine holds in one cycle, `parts_per_load` parts.

    The gap is what the machine stands between finished and started: lead + exchange + tail. The attendant is bound for
    the exchange alone; what else it does for a load (fetch, put away, gauge, inside work) is in `other`. Where the
    run holds the hands, that time lies in the exchange too and not in the process.
    """

    operation: str
    process: str  # machining time of one load
    lead: str  # machine alone, before: end of program, door open
    exchange: str  # attendant and machine bound together
    tail: str  # machine alone, after: door closes, restart
    gap: str
    other: str  # attendant alone, per load: presenter, outfeed, inside work
    travel: str  # attendant on its way, per load
    work: str  # exchange + other + travel
    parts_per_load: str
    bound: str | None = None  # what of the run holds the operator's hands; None: nothing
    run: str | None = None  # all of the machine's run where some of it is bound; None: the process
    elements: tuple[Element, ...] = ()  # of an arm's work, in their order
    cycle: str = ""  # of a machine that an arm never keeps waiting: process + gap

    @property
    def whole_run(self) -> str:
        """The machine's run, whoever is bound in it."""
        return self.run or self.process


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """All operations of the first part family, and the travel between places that the cell's table is built from."""

    concept: str
    part: str
    operations: tuple[OperationTiming, ...]
    places: tuple[str, ...]
    travel: Mapping[str, str] = field(default_factory=dict)  # "from to": fact id, one way
    attendants: str = ""  # fact id: how many attendants share the work

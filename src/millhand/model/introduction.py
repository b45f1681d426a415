"""What it takes to bring the advised way into the shop, and what people do then; every figure a fact id."""

from dataclasses import dataclass
from typing import Literal

from millhand.model.acceptance import AfterFaults
from millhand.model.catalogue import MovingThing
from millhand.model.safeguarding import Distance
from millhand.model.safety import Brought


@dataclass(frozen=True, slots=True, kw_only=True)
class Care:
    """Hours of people in a mean shift for one kind of work at the machines, as simulated or worked out."""

    kind: Literal["stops", "tools", "chips", "refill", "care", "other", "waiting"]
    hours: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Training:
    """How long one person of a kind is trained before hand-over."""

    who: Literal["attends", "programs", "loads"]
    hours: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Standby:
    """Loading by hand while the cell stands."""

    switch_s: str  # from the standing cell to loading by hand
    way_m: str | None  # narrowest way to a door that is drawn; None where none was looked for
    today: str  # parts a shift by hand today, which it makes at most


@dataclass(frozen=True, slots=True, kw_only=True)
class Boxes:
    """Full boxes that somebody takes away, and what lifting them comes to."""

    mass_kg: str
    parts: str  # in a box of that mass
    a_shift: str
    limit_kg: str  # recommended at this pace


@dataclass(frozen=True, slots=True, kw_only=True)
class Fillings:
    """A run of fillings without anybody stepping in out of turn, by the same statistics as a cell's parts."""

    confidence: str
    counted_share: str
    shown_share: str
    run: str  # fillings in a row
    pass_chance: str
    after: tuple[AfterFaults, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HandTests:
    """What a change by hand has to show: parts in a row within a time, good parts a shift, fillings without a fault."""

    timed_parts: str
    timed_most: str  # how long they may take [s]
    shifts: str  # over which good parts are counted
    fillings: Fillings | None  # None where nothing feeds or fills by itself


@dataclass(frozen=True, slots=True, kw_only=True)
class ByHand:
    """A change by hand on its way into the shop. Arrangements are not delivered, and no machine stands for them."""

    takes: Literal["arrangement", "kit", "attachment", "rebuild"]
    fills: Literal["", "boxes", "stock"]
    delivery_s: str | None
    stands_d: str | None  # working days that each machine stands
    own_h: str | None
    own_money: str | None  # these hours, and the parts made up for after the days on which machines stand
    boxes: Boxes | None
    tests: HandTests
    moving: tuple[MovingThing, ...]
    distances: tuple[Distance, ...]
    slot_m: str | None  # opening in a guard that they are told for; None where nothing moves
    mass_kg: str | None = None  # of its heaviest piece; None of an arrangement
    asks: tuple[Brought, ...] = ()  # what stays open, who answers it, and what holds until then


@dataclass(frozen=True, slots=True, kw_only=True)
class Introduction:
    """Of the advised way, where one is advised; `by_hand` and `standby`: of a change by hand, or of a cell."""

    concept: str
    care: tuple[Care, ...]
    training: tuple[Training, ...]
    by_hand: ByHand | None = None
    standby: Standby | None = None

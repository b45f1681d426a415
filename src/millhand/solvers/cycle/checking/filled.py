"""What fills a station at one moment of a plan for lots: parts on their way in, lying there, and on their way out.

Each change gives the station as it is after it, or None where it cannot be: no room, no such part, or one that is not
done. A visit that takes time begins with `comes` or `goes` and ends with `came` or `gone`.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal, Protocol, Self, TypeVar

Way = Literal["comes", "lies", "goes"]
T = TypeVar("T")
Key = tuple[str, int | None]  # a part: its type, and its number where the schedule says it


class Filled(Protocol):
    """A station and what is there."""

    def comes(self, key: Key, instead: Key | None) -> Self | None:
        """Somebody begins to set a part down, `instead` of one that is taken out in the same visit."""

    def came(self, key: Key) -> Self | None:
        """The part lies there."""

    def goes(self, key: Key) -> Self | None:
        """Somebody begins to lift a part."""

    def gone(self, key: Key) -> Self | None:
        """The part is out."""

    def starts(self, key: Key) -> Self | None:
        """The work on a part, or on its load, begins."""

    def finishes(self, key: Key) -> Self | None:
        """The work is over."""

    def is_done(self, key: Key) -> bool:
        """Whether nobody has to stay for a part any longer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Supplies, sinks, gates and stores: parts in and out, as many as there is room for. Supplies and gates give
    without end what nobody set down there."""

    room: int | None
    gives: bool
    lying: tuple[Key, ...] = ()
    moving: int = 0

    def comes(self, key: Key, instead: Key | None) -> Self | None:
        """There is room; what goes out meanwhile still takes up its own."""
        filled = len(self.lying) + self.moving - (instead is not None)
        return replace(self, moving=self.moving + 1) if self.room is None or filled < self.room else None

    def came(self, key: Key) -> Self | None:
        """It lies there."""
        return replace(self, moving=self.moving - 1, lying=(*self.lying, key))

    def goes(self, key: Key) -> Self | None:
        """It takes up its room until it is out."""
        if self.gives:
            return self
        return replace(self, lying=less(self.lying, key), moving=self.moving + 1) if key in self.lying else None

    def gone(self, key: Key) -> Self | None:
        """Its room is free."""
        return self if self.gives else replace(self, moving=self.moving - 1)

    def starts(self, key: Key) -> Self | None:
        """Nothing is worked on."""
        return self

    def finishes(self, key: Key) -> Self | None:
        """Nothing is worked on."""
        return self

    def is_done(self, key: Key) -> bool:
        """Nobody stays."""
        return True


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """Parts that are worked on together: how many have come, which are left, and the slot that they are in."""

    slot: int
    came: int = 0
    parts: tuple[tuple[Key, Way], ...] = ()
    begun: bool = False
    over: bool = False

    def has(self, key: Key, what: Way) -> bool:
        """Whether a part is there in this way."""
        return (key, what) in self.parts

    def put(self, key: Key, old: Way | None, new: Way | None) -> "Load":
        """The load with a part that changes its way of being there."""
        parts = self.parts if old is None else less(self.parts, (key, old))
        return replace(self, parts=parts if new is None else (*parts, (key, new)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Slots:
    """A machine without buffers: so many slots, None for any number, each with one load; a load that is complete is
    lifted when it is done. `works`: the schedule tells its work."""

    slots: int | None
    batch: int
    works: bool
    loads: tuple[Load, ...] = ()
    opened: int = 0

    def changed(self, old: Load, new: Load) -> Self:
        """The machine with one load changed; one of which all parts have come and gone is no more."""
        left = [new] if new.parts or new.came < self.batch else []
        return replace(self, loads=tuple(each for load in self.loads for each in ([load] if load is not old else left)))

    def of(self, key: Key, what: Way, fits: Callable[[Load], bool] = lambda _: True) -> Load | None:
        """The first load in which a part is in this way."""
        return next((load for load in self.loads if load.has(key, what) and fits(load)), None)

    def comes(self, key: Key, instead: Key | None) -> Self | None:
        """Into the load that is begun, else into an empty slot, or part for part into that of the load which goes."""
        swapped = None if instead is None else self.of(instead, "goes")
        last = self.loads[-1] if self.loads and self.loads[-1].came < self.batch else None
        if last is not None:
            new = replace(last, came=last.came + 1).put(key, None, "comes")
            return self.changed(last, new) if swapped is None or swapped.slot == last.slot else None
        filled = len({load.slot for load in self.loads})
        if swapped is None and self.slots is not None and filled >= self.slots:
            return None
        slot = self.opened if swapped is None else swapped.slot
        load = Load(slot=slot, came=1).put(key, None, "comes")
        return replace(self, loads=(*self.loads, load), opened=self.opened + 1)

    def came(self, key: Key) -> Self | None:
        """It lies in its load."""
        load = self.of(key, "comes")
        return None if load is None else self.changed(load, load.put(key, "comes", "lies"))

    def goes(self, key: Key) -> Self | None:
        """Out of a load that is done, or that is complete where no work is told."""
        load = self.of(key, "lies", lambda each: each.over if self.works else self.is_complete(each))
        return None if load is None else self.changed(load, load.put(key, "lies", "goes"))

    def gone(self, key: Key) -> Self | None:
        """It has left its load."""
        load = self.of(key, "goes")
        return None if load is None else self.changed(load, load.put(key, "goes", None))

    def is_complete(self, load: Load) -> bool:
        """Whether all parts of a load have come and lie there, or did."""
        return load.came == self.batch and not any(what == "comes" for _, what in load.parts)

    def starts(self, key: Key) -> Self | None:
        """A complete load."""
        load = self.of(key, "lies", lambda each: not each.begun and self.is_complete(each))
        return None if load is None else self.changed(load, replace(load, begun=True))

    def finishes(self, key: Key) -> Self | None:
        """A load that was begun."""
        load = self.of(key, "lies", lambda each: each.begun and not each.over)
        return None if load is None else self.changed(load, replace(load, over=True))

    def is_done(self, key: Key) -> bool:
        """Its load is done, or it has left."""
        return not self.works or not any(load.has(key, "lies") and not load.over for load in self.loads)


@dataclass(frozen=True, slots=True, kw_only=True)
class Buffered:
    """A machine with buffers of its own: parts wait before it, one is in it (any number, where it is `endless`), and
    what is done goes into the buffer behind it as soon as there is room."""

    before: int | None
    behind: int | None
    endless: bool
    waiting: tuple[Key, ...] = ()
    inside: tuple[tuple[Key, bool], ...] = ()  # whether done
    out: tuple[Key, ...] = ()
    coming: int = 0
    going: int = 0

    def is_free(self) -> bool:
        """Whether nothing is in the machine itself, nor on its way out of it."""
        return self.endless or not (self.inside or (self.behind == 0 and self.going))

    def settled(self) -> Self:
        """What is done has gone into the buffer behind, as far as there is room."""
        left, out = list(self.inside), list(self.out)
        for each in self.inside:
            if each[1] and (self.behind is None or len(out) + self.going < self.behind):
                left.remove(each)
                out.append(each[0])
        return replace(self, inside=tuple(left), out=tuple(out))

    def comes(self, key: Key, instead: Key | None) -> Self | None:
        """Into the buffer before the machine; without one into the machine."""
        if instead is not None:
            return None
        if self.before == 0:
            fits = self.endless or (self.is_free() and not self.waiting and not self.coming)
        else:
            fits = self.before is None or len(self.waiting) + self.coming < self.before
        return replace(self, coming=self.coming + 1) if fits else None

    def came(self, key: Key) -> Self | None:
        """It waits for its start, before the machine or in it."""
        return replace(self, coming=self.coming - 1, waiting=(*self.waiting, key))

    def starts(self, key: Key) -> Self | None:
        """The machine takes it in."""
        if key not in self.waiting or not self.is_free():
            return None
        return replace(self, waiting=less(self.waiting, key), inside=(*self.inside, (key, False)))

    def finishes(self, key: Key) -> Self | None:
        """It goes on into the buffer behind, where there is room."""
        if (key, False) not in self.inside:
            return None
        return replace(self, inside=(*less(self.inside, (key, False)), (key, True))).settled()

    def goes(self, key: Key) -> Self | None:
        """Out of the buffer behind; without one, and out of endless slots, out of the machine."""
        if key in self.out:
            return replace(self, out=less(self.out, key), going=self.going + 1)
        straight = (self.behind == 0 or self.endless) and (key, True) in self.inside
        return replace(self, inside=less(self.inside, (key, True)), going=self.going + 1) if straight else None

    def gone(self, key: Key) -> Self | None:
        """Its room is free, and what was done may go on."""
        return replace(self, going=self.going - 1).settled()

    def is_done(self, key: Key) -> bool:
        """Whether it waits no more for its work to be over."""
        return key not in self.waiting and (key, False) not in self.inside


def less(things: tuple[T, ...], one: T) -> tuple[T, ...]:
    """All but one of these."""
    at = things.index(one)
    return (*things[:at], *things[at + 1 :])

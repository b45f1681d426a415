"""Up to which mass and size of a part the checks of a cell still pass: what a next part can be held against."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from millhand.model.decision import PartLimit
from millhand.model.fact import Fact
from millhand.model.part import Part, Size
from millhand.model.study import Result
from millhand.model.verdict import Verdict
from millhand.stages.decision.desk import Desk
from millhand.stages.decision.turning import turning_value
from millhand.trace import apply, found, needed, recomputed, steps

OF_MASS = ("payload", "moment", "inertia", "grip_force", "magnet_grip")
FINGER_SET = "catalogue.finger_set.price"
SMALL, LARGE = 0.02, 20.0  # how many times the mass or the size of the part is looked at
HALVED = "halving over the study's facts until the check just passes"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """One cell, and how far its checks are from failing with a part of another mass or size."""

    desk: Desk
    result: Result
    part: Part  # the heaviest, which the checks are about

    def id(self, name: str) -> str:
        """The fact id of one limit."""
        return f"concepts.{self.result.concept.id}.part_limits.{name}"

    def checked(self, name: str) -> str:
        """The fact id of a figure of the checks."""
        return f"concepts.{self.result.concept.id}.feasibility.{name}"

    @property
    def verdicts(self) -> Mapping[str, Verdict]:
        """The verdicts by their checks."""
        return {each.check: each for each in self.result.verdicts}


def part_limits(desk: Desk, result: Result | None) -> tuple[PartLimit, ...]:
    """Every limit that lies within what was looked at; none of a way without an arm."""
    if result is None or result.concept.kind != "cell":
        return ()
    part = max(desk.inquiry.parts, key=lambda each: max(each.raw_mass_kg.value, each.finished_mass_kg.value))
    bench = Bench(desk=desk, result=result, part=part)
    _finger_set(bench)
    return (*_masses(bench), *_sizes(bench), *_measured(bench))


def _finger_set(bench: Bench) -> None:
    """What a set of fingers for one more family costs, in the inquiry's money."""
    sheet, estimate = bench.desk.sheet, bench.result.estimate
    if estimate is not None and FINGER_SET in sheet:
        factor = sheet[estimate.price_factor]
        apply(sheet, "priced_money", bench.id("finger_set"), amount_money=sheet[FINGER_SET], price_factor=factor)


def _masses(bench: Bench) -> Iterator[PartLimit]:
    """Of each check that carries or holds the part."""
    sheet = bench.desk.sheet
    masses = (bench.part.raw_mass_kg, bench.part.finished_mass_kg)
    now = max(masses, key=lambda each: each.value)
    for check in OF_MASS:
        verdict = bench.verdicts.get(check)
        if verdict is None or now.value <= 0.0:
            continue
        times = _times(bench, masses, _rest(bench, ((verdict.demand, verdict.limit),)))
        if times is not None:
            at = found(sheet, _fact(bench, f"{check}.mass", now, times * now.value))
            yield PartLimit(check=check, what="mass", end="most", present=(now.id,), at=(at.id,))


def _sizes(bench: Bench) -> Iterator[PartLimit]:
    """Of the ways through the doors, the places of presenter and outfeed, and what a clamping leaves to the fingers.

    Parts lie in the pattern that they lie in now: another one may take a little more.
    """
    machines = [each.name for each in bench.desk.inquiry.machines]
    doors = {each.name: (each.inside.door_width_m.id, each.inside.door_height_m.id)
             for each in bench.desk.inquiry.machines}  # fmt: skip
    ways = [(bench.checked(f"door_opening.{name}.{way}"), limit)
            for name in machines for way, limit in zip(("across", "high"), doors[name], strict=True)]  # fmt: skip
    yield from _size(bench, "door_opening", "most", _rest(bench, tuple(ways)))
    pockets = bench.checked("pockets")
    if pockets in bench.desk.sheet:
        yield from _size(bench, "pockets", "most", ([pockets], lambda numbers: numbers[pockets] - 1.0))
    free = [("catalogue.finger_contact_m", bench.checked(f"finger_room.{name}.free")) for name in machines]
    yield from _size(bench, "finger_room", "least", _rest(bench, tuple(free)))


Goal = tuple[list[str], Callable[[Mapping[str, float]], float]]  # the facts that it needs, and what is left


def _rest(bench: Bench, pairs: tuple[tuple[str, str], ...]) -> Goal | None:
    """What the tightest of several demands leaves of its limit; None where the study has none of them."""
    known = [pair for pair in pairs if all(each in bench.desk.sheet for each in pair)]
    if not known:
        return None
    ids = [each for pair in known for each in pair]
    return ids, lambda numbers: min(numbers[limit] - numbers[demand] for demand, limit in known)


def _size(bench: Bench, check: str, end: Literal["most", "least"], goal: Goal | None) -> Iterator[PartLimit]:
    """A part of the same proportions; the mass stays, it has limits of its own."""
    sizes = [size for part in bench.desk.inquiry.parts for size in (part.raw, part.finished)]
    times = _times(bench, tuple(each for size in sizes for each in _sides(size)), goal)
    if times is None:
        return
    now = sorted(_sides(bench.part.raw), key=lambda each: -each.value)
    at = [
        found(bench.desk.sheet, _fact(bench, f"{check}.side_{number}", each, times * each.value))
        for number, each in enumerate(now, start=1)
    ]  # fmt: skip
    yield PartLimit(
        check=check, what="size", end=end, present=tuple(each.id for each in now), at=tuple(each.id for each in at)
    )


def _sides(size: Size) -> tuple[Fact, ...]:
    """The sides of a part; of a round one length and diameter."""
    return tuple({each.id: each for each in (size.length_m, size.width_m, size.height_m)}.values())


def _times(bench: Bench, moved: tuple[Fact, ...], goal: Goal | None) -> float | None:
    """How many times the moved facts may be what they are; None where the check turns at neither end."""
    if goal is None:
        return None
    ids, rest = goal
    part = needed(bench.desk.sheet.facts, ids)
    if not any(each.id in part for each in moved):
        return None
    again = steps(part)

    def left(times: float) -> float:
        changes = {each.id: times * each.value for each in moved}
        return rest(recomputed(again, changes, bench.desk.solved))

    return turning_value(1.0, (SMALL, LARGE), left)


def _fact(bench: Bench, name: str, like: Fact, value: float) -> Fact:
    """A limit as a fact."""
    return Fact(
        id=bench.id(name), value=value, unit=like.unit, basis="computed", source=HALVED, inputs=(("", like.id),)
    )  # fmt: skip


def _measured(bench: Bench) -> Iterator[PartLimit]:
    """The least bore that fingers get into, and by how much sizes may differ that one set of fingers takes."""
    sheet, bore, travel = bench.desk.sheet, bench.verdicts.get("bore_room"), bench.verdicts.get("grip_travel")
    if bore is not None:
        yield PartLimit(check="bore_room", what="bore", end="least", present=(bore.limit,), at=(bore.demand,))
    if travel is None:
        return
    beside = [sheet[source] for key, source in sheet[travel.demand].inputs if key in ("tolerance_m", "clearance_m")]
    room = apply(sheet, "sum_of_lengths_m", bench.id("grip_travel.beside"), lengths_m=tuple(beside))
    if room.value < sheet.value(travel.limit):
        most = apply(
            sheet, "difference_m", bench.id("grip_travel.span"), length_m=sheet[travel.limit], less_m=room
        )  # fmt: skip
        now = apply(
            sheet, "difference_m", bench.id("grip_travel.span_now"), length_m=sheet[travel.demand], less_m=room
        )  # fmt: skip
        yield PartLimit(check="grip_travel", what="span", end="most", present=(now.id,), at=(most.id,))

"""The arm's part of the timing: the machine's own phases, exchange and presenter, and the element table."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from millhand.model.fact import Fact
from millhand.model.machine import Machine
from millhand.model.part import Operation
from millhand.model.timing import Element, OperationTiming
from millhand.stages.timing.exchange import Exchange, Piece, exchange_of, hands_of
from millhand.stages.timing.shared import Line, Scope, grips_of, parts_of, vises_of


def _door(scope: Scope, machine: Machine) -> Fact:
    """One way of the door: there already, retrofitted where it is opened by hand today, or none."""
    if machine.door.value == "none":
        return scope.none(f"{machine.name}.door")
    kind = "door_fitted" if machine.door.value == "powered" else "door_retrofit"
    return scope.catalogue.components[kind].figures["each_way_s"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """From a machine with its finished part to where that goes, to where the next one is, and back to the machine.

    works: what the arm does with the finished part at stations on its way to the outfeed.
    """

    leave: Fact
    works: tuple[Piece, ...]
    put: Fact
    back: Fact
    take: Fact
    arrive: Fact

    @property
    def all(self) -> tuple[Fact, ...]:
        """Its elements in order."""
        return tuple(time for _, time in self.pieces)

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """The same with what each of them is."""
        return (
            ("to the outfeed", self.leave), *self.works, ("finished part put down", self.put),
            ("to the presenter", self.back), ("raw part picked up", self.take), ("back to the machine", self.arrive),
        )  # fmt: skip


def arm_visit(scope: Scope, line: Line, index: int, process: Fact) -> OperationTiming:
    """All phases of one load. A single gripper fetches the next part while the machine stands, a double one before."""
    operation, machine = line.operations[index], line.machines[index]
    name, figures = operation.name, scope.catalogue.figures
    door, exchange = _door(scope, machine), exchange_of(scope, line, index)
    around = _round(scope, line, index)
    load = scope.apply(
        "load_exchange_s",
        f"{name}.load_exchange",
        exchange_s=exchange.time,
        grips=grips_of(scope, operation),
        round_s=scope.apply("attendant_work_s", f"{name}.round", elements_s=around.all),
        vises=vises_of(scope, operation),
        turn_s=figures["turn_over_s"],
    )
    blow = figures[f"blow_off_{machine.kind.value}_s"]
    bound = scope.apply("attendant_work_s", f"{name}.exchange", elements_s=(load, blow))
    tail = scope.apply("attendant_work_s", f"{name}.tail", elements_s=(door, figures["handshake_s"]))
    away = () if hands_of(scope) == 2 or machine.kind.value == "moulding" or hands_on(scope) else around.all
    at_places, works = _elsewhere(line, index, around), tuple(time for _, time in around.works)
    other = scope.apply("attendant_work_s", f"{name}.other", elements_s=(*at_places, *works))
    travel = scope.apply("attendant_work_s", f"{name}.travel", elements_s=_ways(scope, line, index, around))
    gap = scope.apply("attendant_work_s", f"{name}.gap", elements_s=(door, bound, *away, tail))
    phases = Phases(
        door=door, exchange=exchange, load=load, blow=blow, handshake=figures["handshake_s"], works=around.works,
        places=scope.apply("attendant_work_s", f"{name}.places", elements_s=at_places) if works else other,
        travel=travel,
    )  # fmt: skip
    return OperationTiming(
        operation=name,
        process=process.id,
        lead=door.id,
        exchange=bound.id,
        tail=tail.id,
        gap=gap.id,
        other=other.id,
        travel=travel.id,
        work=scope.apply("attendant_work_s", f"{name}.work", elements_s=(bound, other, travel)).id,
        parts_per_load=parts_of(scope, operation).id,
        cycle=scope.apply("machine_bound_cycle_s", f"{name}.cycle", machining_s=process, gap_s=gap).id,
        elements=tuple(elements(scope, name, phases, around if away else None)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Phases:
    """What the elements of one load are made of."""

    door: Fact
    exchange: Exchange
    load: Fact
    blow: Fact
    handshake: Fact
    works: tuple[Piece, ...]
    places: Fact  # at presenter and outfeed
    travel: Fact


def elements(scope: Scope, name: str, phases: Phases, away: Round | None) -> Iterator[Element]:
    """Every piece of a load in the order in which it happens: those in which the machine stands, then the arm's own.

    With one hand the finished part is put away and the next one fetched while the seat is empty; the seat is blown off
    before the raw part comes to it.
    """

    def stands(*pieces: Piece) -> Iterator[Element]:
        return (Element(name=words, time=time.id, side="machine stands") for words, time in pieces)

    yield from stands(("door opens", phases.door), *phases.exchange.out)
    if away is not None:
        yield from stands(*away.pieces)
    yield from stands(("seat is blown off", phases.blow), *phases.exchange.into)
    more = scope.apply("rest_of_time_s", f"{name}.more", whole_s=phases.load, less_s=phases.exchange.time)
    if more.value > 0.0:
        yield from stands(("further parts of the load", more))
    yield from stands(("door closes", phases.door), ("end of program, release and restart", phases.handshake))
    if away is None:
        for words, time in phases.works:
            yield Element(name=words, time=time.id, side="arm alone")
        yield Element(name="at presenter and outfeed", time=phases.places.id, side="arm alone")
        yield Element(name="ways", time=phases.travel.id, side="arm alone")


def hands_on(scope: Scope) -> bool:
    """Whether one arm feeds the machines and another one takes out: neither makes a whole round."""
    sharing = scope.concept.sharing
    return sharing is not None and sharing.words["way"] == "feed"


def _round(scope: Scope, line: Line, index: int) -> Round:
    """The round of one operation: by presenter and outfeed at the ends of the line, by its neighbours within it."""
    name, presenter, outfeed = line.operations[index].name, scope.concept.presenter, scope.concept.outfeed
    assert presenter is not None
    assert outfeed is not None
    first, last = index == 0, index == len(line.operations) - 1
    here, before, after = line.places(index), line.before(index), line.after(index)
    take = presenter.figures["pick_s"]
    put = outfeed.figures.get("place_s") or presenter.figures["place_s"]
    return Round(
        leave=way(scope, line, f"{name}.leave", (here, after)),
        works=tuple(at_stations(scope, line)) if last else (),
        put=put if last else _half(scope, line, index + 1, f"{name}.put_next"),
        back=way(scope, line, f"{name}.back", (after, before)),
        take=take if first else _half(scope, line, index - 1, f"{name}.take_before"),
        arrive=way(scope, line, f"{name}.arrive", (before, here)),
    )


def at_stations(scope: Scope, line: Line) -> Iterator[Piece]:
    """What the arm does with a finished part at stations on its way; gauging each n-th part, spread over all."""
    for work in scope.concept.works:
        time = work.figures["time_a_part_s"]
        if work.words.get("each") == "gauge_every":
            shares = tuple(
                scope.apply(
                    "time_a_part_s", f"{operation.name}.{work.id}", load_s=time, parts_per_load=gauged(scope, operation)
                )
                for operation in line.operations
            )
            time = scope.apply("attendant_work_s", work.id, elements_s=shares)
        yield work.words["element"], time


def gauged(scope: Scope, operation: Operation) -> Fact:
    """Each how many pieces that pass the arm's hands are gauged; finished parts are fewer where they come again."""
    if operation.passes is None:
        return operation.gauge_every
    fact_name = f"{operation.name}.gauge_every_piece"
    return scope.apply("of_all_passes", fact_name, each=operation.gauge_every, passes=operation.passes)


def _half(scope: Scope, line: Line, index: int, name: str) -> Fact:
    """Putting in alone, or taking out alone, at a neighbour in the line."""
    return scope.apply("half_exchange_s", name, exchange_s=exchange_of(scope, line, index).time)


def way(scope: Scope, line: Line, name: str, ends: tuple[tuple[str, ...], tuple[str, ...]]) -> Fact:
    """The way from one group of alike places to another: the mean of all pairs."""
    ways = tuple(line.travel[f"{a} {b}"] for a, b in product(*ends) if f"{a} {b}" in line.travel)
    if len(ways) == 1:
        return ways[0]
    return scope.apply("mean_time_s", name, times_s=ways) if ways else scope.none(name)


def _elsewhere(line: Line, index: int, around: Round) -> tuple[Fact, ...]:
    """What the arm does for a load away from machines: picking at the presenter first, placing at the outfeed last."""
    picks = index == 0 and line.machines[0].kind.value != "moulding"
    return (*((around.take,) if picks else ()), *((around.put,) if index == len(line.operations) - 1 else ()))


def _ways(scope: Scope, line: Line, index: int, around: Round) -> tuple[Fact, ...]:
    """The arm's ways for one load: with two hands along the line and back, with one also back for each next part; of
    two arms that feed and take out those of both."""
    first, last = index == 0, index == len(line.operations) - 1
    if hands_on(scope):  # each arm there and back
        return around.arrive, around.arrive, around.leave, around.leave
    one_hand = hands_of(scope) == 1
    ways = [around.arrive, *((around.back,) if one_hand or (first and last) else ())]
    if last:
        ways.append(around.leave)
    if last and not first:
        ends = (line.places(0), line.places(index)) if one_hand else (line.after(index), line.before(0))
        ways.append(way(scope, line, "line.back", ends))
    return tuple(ways)

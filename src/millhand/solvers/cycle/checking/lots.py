"""What enters and leaves: the mix of a steady flow, or all lots, from an empty cell to an empty cell."""

from collections import Counter
from collections.abc import Iterator

from millhand.model.mix import part_set
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.checking.play import Play
from millhand.solvers.cycle.unrolled import Handled, turns


def entering(play: Play, whole: list[Handled]) -> list[Handled]:
    """The lifts out of supplies, in order of time; a part enters at the first step of its route."""
    lifts = [
        each
        for each in whole
        if each.kind in ("pick", "swap", "self") and play.rules.is_start(each.station, each.first.part)
        if play.cell.stations[each.station].kind in ("supply", "gate")
    ]
    return sorted(lifts, key=lambda each: each.first.at_steps)


def entry_violations(play: Play, schedule: Schedule, whole: list[Handled]) -> Iterator[str]:
    """As many parts enter in a period as the schedule says, in the mix of the cell."""
    started = Counter(each.first.part for each in entering(play, whole))
    total = sum(started.values())
    if total != schedule.parts_per_period:
        yield f"{total} parts enter a period, not {schedule.parts_per_period}"
    counts = part_set(play.cell.parts)
    for name, count in counts.items() if total else ():
        if started[name] * sum(counts.values()) != count * total:
            yield f"{started[name]} of {total} parts are {name}, which is not its share of the mix"


def lot_violations(play: Play, schedule: Schedule, whole: list[Handled]) -> Iterator[str]:
    """Every part of every lot goes from its supply to its outfeed, in the order of rule 19; nothing is left behind."""
    lifts = entering(play, [turn.visit for turn in turns(schedule, whole, 1)])
    lots = {name: part.lot.size * part.lot.count for name, part in play.cell.parts.items() if part.lot is not None}
    if schedule.parts_per_period != sum(lots.values()):
        yield f"all lots are {sum(lots.values())} parts, not {schedule.parts_per_period}"
    started = Counter(each.first.part for each in lifts)
    for name, part in play.cell.parts.items():
        sets = [each for each in whole if each.kind in ("place", "swap", "self") and each.target in part.route[-1].at]
        ended = sum(1 for each in sets if each.begins.part == name)
        if (started[name], ended) != (lots.get(name, 0), lots.get(name, 0)):
            yield f"{started[name]} {name} enter and {ended} leave, not {lots.get(name, 0)}"
    for name in play.cell.stations:
        yield from stock_violations(play, lifts, name)
    yield from late_starts(play, whole)


def stock_violations(play: Play, lifts: list[Handled], name: str) -> Iterator[str]:
    """A supply gives its part types in file order, and not more than it has; an outfeed has room."""
    station = play.cell.stations[name]
    order = [each.first.part for each in lifts if each.station == name]
    limited = station.capacity is not None and not station.refill
    if station.kind == "supply" and not in_turn(order, lot_order(play, name)):
        yield f"{name} does not give its parts lot after lot"
    if station.kind == "supply" and limited and len(order) > station.start:
        yield f"{len(order)} parts are lifted from {name}, which starts with {station.start}"
    ended = len(play.books[name].sets)
    if station.kind == "sink" and limited and station.start + ended > (station.capacity or 0):
        yield f"{ended} parts are put into {name}, room is for {(station.capacity or 0) - station.start}"


def lot_order(play: Play, supply: str) -> list[str]:
    """The part types of a supply, lot after lot and round after round, types in file order within a round."""
    own = [(name, part.lot) for name, part in play.cell.parts.items() if part.lot and supply in part.route[0].at]
    rounds = max((lot.count for _, lot in own), default=0)
    return [name for turn in range(rounds) for name, lot in own if lot.count > turn for _ in range(lot.size)]


def in_turn(order: list[str], whole: list[str]) -> bool:
    """Whether these come in the order of the whole; another supply may give those in between."""
    rest = iter(whole)
    return all(each in rest for each in order)


def late_starts(play: Play, whole: list[Handled]) -> Iterator[str]:
    """Whoever comes first to something comes from home, where all stand when the lots begin."""
    for who, attendant in play.cell.attendants.items():
        own = [each for each in whole if each.who == who]
        if not own or attendant.home is None:
            continue
        first = min(own, key=lambda each: (each.first.at_steps, each.kind != "home", each.hold_steps))
        there = play.rules.place(first, leaving=False)
        way = play.rules.travel(who, attendant.home, there, loaded=False)
        if who in play.on_track and there != attendant.home:
            yield f"{who} begins at {there}, not at its home {attendant.home}"
        elif way is None or first.first.at_steps < way + play.rules.lead(first, on_arrival=True):
            yield f"{who} cannot be at {there} in time for its first {first.kind}"

"""Lots that cannot be finished, told in words before anything is searched; and what a plan for lots leaves out."""

from collections import Counter
from collections.abc import Iterator

from millhand.errors import InputError, InputErrors
from millhand.model.cell import Cell
from millhand.solvers.cycle.left_out import left_out_words
from millhand.solvers.cycle.lots.makespan_loads import fills_loads
from millhand.solvers.cycle.lots.makespan_lots import Lots
from millhand.solvers.cycle.pieces import pieces_of_lots


def unfinished(lots: Lots) -> None:
    """Raise what keeps the lots from being finished, all of it together."""
    found = [*unserved(lots), *short_stays(lots), *broken_loads(lots), *short_stocks(lots)]
    if found:
        raise InputErrors(found)


def unserved(lots: Lots) -> Iterator[InputError]:
    """Steps from which nobody brings the part to the next one."""
    for (part, step), ways in lots.ways.items():
        if not ways:
            starts, goals = (" or ".join(lots.view.routes[part][each].stations) for each in (step, step + 1))
            yield InputError(
                f"/parts/{part}/route/{step}",
                f"nobody brings {part} from {starts} to {goals}",
                "an attendant with handling at both and a way between them",
                "lots_nobody_carries",
            )


def short_stays(lots: Lots) -> Iterator[InputError]:
    """Stays that end before the work does."""
    for part, route in lots.view.routes.items():
        for index, stop in enumerate(route):
            longest, inside = stop.stay_max_steps, route[index - stop.stay_since : index + 1]
            work = min(sum(times) for times in zip(*(each.times_steps for each in inside), strict=True))
            if longest is not None and longest < work:
                yield InputError(
                    f"/parts/{part}/route/{index}/stay_max_s",
                    f"{longest * lots.view.grid_s:g} s, work {work * lots.view.grid_s:g} s",
                    "a stay that is at least as long as the work",
                    "lots_stay_too_short",
                )


def broken_loads(lots: Lots) -> Iterator[InputError]:
    """Lots whose last load would never be complete."""
    counts = Counter(piece.part for piece in lots.pieces)
    wrong = {
        (part, step.sizes): None
        for (part, _), step in lots.loads.items()
        if not fills_loads(counts[part], step.sizes) and counts[part]
    }
    for part, sizes in wrong:
        (size, *others) = sorted(sizes)
        cure = f"loads of {size} and {' and '.join(map(str, others))} together" if others else f"a multiple of {size}"
        yield InputError(
            f"/parts/{part}/lot",
            f"{counts[part]} parts, loads of {' or '.join(map(str, sorted(sizes)))}",
            f"{cure}; the last load would never be complete",
            "lots_load_incomplete",
        )


def short_stocks(lots: Lots) -> Iterator[InputError]:
    """Supplies that hold too little, and sinks with too little room, where nobody brings or takes more."""
    used = pieces_of_lots(lots.cell)
    alone = Counter(supplies[0] for j in range(len(lots.pieces)) if len(supplies := lots.supplies(j)) == 1)
    for name, count in (used + alone).items():
        given = lots.stock(name)
        if given is not None and given < count:
            read = f"{given} parts at the start, lots of {count}"
            yield InputError(f"/stations/{name}/start", read, f"{count}, or a refill", "lots_supply_short")
    for names, count in Counter(lots.supplies(j) for j in range(len(lots.pieces))).items():
        stocks = [lots.stock(name) for name in names]
        given = sum(max(0, (stock or 0) - used[name]) for stock, name in zip(stocks, names, strict=True))
        if len(names) > 1 and None not in stocks and given < count:
            read = f"{given} parts at the start in {' and '.join(names)}, lots of {count}"
            yield InputError(f"/stations/{names[0]}/start", read, f"{count} together, or a refill", "lots_supply_short")
    for names, count in Counter(lots.route(j)[-1].stations for j in range(len(lots.pieces))).items():
        rooms = [lots.stock(name) for name in names]
        room = sum(each or 0 for each in rooms)
        if None not in rooms and room < count:
            read = f"room for {room} parts, lots of {count}"
            yield InputError(f"/stations/{names[0]}/capacity", read, f"{count}, or a refill", "lots_sink_full")


def narrowed_words(lots: Lots) -> tuple[str, ...]:
    """Where the search looks at some plans only, in words; what it finds there is not proven to be the shortest."""
    return tuple(dict.fromkeys(narrowed(lots)))


def narrowed(lots: Lots) -> Iterator[str]:
    """Each reason."""
    if lots.sharing:
        yield "on a shared track with one stop aside between two visits, two where there was no plan"
    for part, lot in ((name, each.lot) for name, each in lots.cell.parts.items()):
        several = {step for (name, _), step in lots.loads.items() if name == part and max(step.sizes) > 1}
        across = any(len(step.sizes) > 1 or (lot and lot.size % max(step.sizes)) for step in several)
        if len(several) > 1 or (lot and lot.count > 1 and across):
            same = len({step.sizes for step in several}) == 1 and len(several) > 1
            yield f"{part} in {'the same loads at each step' if same else 'loads by its numbers'}"
    for who, station, _, kind in lots.view.phases:
        if kind == "swap" and lots.batch(station) > 1:
            yield f"without exchanges at {station}"
        alike = {phase for (a, b, _, c), phase in lots.view.phases.items() if (a, b, c) == (who, station, "swap")}
        if kind == "swap" and len(alike) > 1:
            yield f"without exchanges of unlike parts at {station}"


def lots_left_out(cell: Cell) -> tuple[str, ...]:
    """What the cell says and the plan does not hold. The bounds of lots hold no means of what goes wrong."""
    told = left_out_words(cell)
    kept = (words for words in told if not words.startswith("changeover duty"))
    return tuple(
        words.replace(": its mean load is in the bound", "").replace(": their mean load is in the bound", "")
        for words in kept
    )

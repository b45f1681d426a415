"""Routes of a cell: from supply to sink, with times where parts are worked on, shares or lots that fit the goal."""

from collections.abc import Iterator

from millhand.errors import InputError
from millhand.intake.cell_fields import pointer
from millhand.model.cell import Cell, CellPart, Step

SOURCES, DRAINS = ("supply", "gate"), ("sink", "gate")


def things(cell: Cell) -> Iterator[InputError]:
    """A cell has stations and parts."""
    if not cell.stations:
        yield InputError("/stations", "nothing", "the stations that parts pass through", "no_stations")
    if not cell.parts:
        yield InputError("/parts", "nothing", "the parts and their routes", "no_parts")


def routes(cell: Cell) -> Iterator[InputError]:
    """Each route starts where parts come from, ends where they leave, and does neither on the way."""
    for name, part in cell.parts.items():
        at, route = f"{pointer('/parts', name)}/route", part.route
        if len(route) < 2:
            read = "one step" if route else "no step"
            yield InputError(at, read, "at least two steps, from a supply to a sink", "route_short")
            continue
        yield from ends(cell, f"{at}/0/at", route[0], SOURCES, "a supply or a gate, where routes begin", "route_start")
        last = len(route) - 1
        yield from ends(cell, f"{at}/{last}/at", route[last], DRAINS, "a sink or a gate, where routes end", "route_end")
        for i, step in enumerate(route[1:-1], start=1):
            yield from ends(
                cell, f"{at}/{i}/at", step, ("process", "store"), "a process or a store on the way", "route_middle"
            )


def ends(cell: Cell, at: str, step: Step, kinds: tuple[str, ...], write: str, code: str) -> Iterator[InputError]:
    """The stations of one step are of certain kinds."""
    for i, name in enumerate(step.at):
        if name in cell.stations and cell.stations[name].kind not in kinds:
            yield InputError(f"{at}/{i}", f"{name}, a {cell.stations[name].kind}", write, code)


def places(cell: Cell) -> Iterator[InputError]:
    """Where somebody moves, the stations of the routes have places."""
    used = {name for part in cell.parts.values() for step in part.route for name in step.at}
    for name, station in cell.stations.items():
        if cell.moves and name in used and station.place is None:
            write = f"the place where {name!r} stands; there are move tables"
            yield InputError(f"{pointer('/stations', name)}/place", "nothing", write, "no_place")


def steps(cell: Cell) -> Iterator[tuple[str, int, CellPart]]:
    """Every step with its pointer and its number in the route."""
    for name, part in cell.parts.items():
        for i in range(len(part.route)):
            yield f"{pointer('/parts', name)}/route/{i}", i, part


def times(cell: Cell) -> Iterator[InputError]:
    """A process has a time at each of its stations, nothing else but a store has one, and a stay leaves room for it."""
    for at, i, part in steps(cell):
        step = part.route[i]
        kinds = {name: cell.stations[name].kind for name in step.at if name in cell.stations}
        timed = step.at if step.time_s is not None else tuple(step.times_s or ())
        for name, kind in kinds.items():
            if kind == "process" and name not in timed:
                yield InputError(f"{at}/time_s", "nothing", f"the time of the process at {name!r}", "no_time")
            if kind in ("supply", "sink", "gate") and name in timed:
                yield InputError(
                    f"{at}/time_s", kind, f"no time at a {kind}; only a process has one", "time_not_process"
                )
        for name in step.times_s or ():
            if name not in step.at:
                yield InputError(pointer(f"{at}/time_s", name), name, "a station of this step", "time_elsewhere")
        yield from stays(at, step)


def open_machines(cell: Cell) -> Iterator[InputError]:
    """A step whose machines have no slot at all leads nowhere."""
    for at, i, part in steps(cell):
        found = [cell.stations[name] for name in part.route[i].at if name in cell.stations]
        if found and all(station.kind == "process" and station.capacity == 0 for station in found):
            read = f"{', '.join(part.route[i].at)}, capacity 0"
            yield InputError(f"{at}/at", read, "a machine that has a slot", "no_slot")


def stays(at: str, step: Step) -> Iterator[InputError]:
    """The longest stay is not shorter than the process itself."""
    means = [span.mean_s for span in (step.times_s or {}).values()] + ([step.time_s.mean_s] if step.time_s else [])
    if step.stay_max_s is not None and means and step.stay_max_s < max(means):
        write = f"at least the time of the process, {max(means):g} s, or null"
        yield InputError(f"{at}/stay_max_s", f"{step.stay_max_s:g}", write, "stay_below_time")


def gauging(cell: Cell) -> Iterator[InputError]:
    """Only a step on the way may be for each n-th part, and a check comes after something was made."""
    for at, i, part in steps(cell):
        step = part.route[i]
        if step.every > 1 and i in (0, len(part.route) - 1):
            yield InputError(f"{at}/every", str(step.every), "1; every part comes in and goes out", "every_at_end")
        made = any(cell.stations[s].kind == "process" for one in part.route[:i] for s in one.at if s in cell.stations)
        if step.on_bad is not None and not made:
            yield InputError(f"{at}/on_bad", step.on_bad, "on_bad at a step after a process", "nothing_to_check")
        for name in step.uses:
            where = pointer(f"{at}/uses", name)
            if name in cell.stations and cell.stations[name].kind not in ("supply", "store"):
                yield InputError(
                    where, f"a {cell.stations[name].kind}", "a supply or a store to use from", "uses_not_stock"
                )


def amounts(cell: Cell) -> Iterator[InputError]:
    """Shares of the mix for a rate, lots for a makespan, never both."""
    shares = [part.share for part in cell.parts.values() if part.share is not None]
    for name, part in cell.parts.items():
        at = pointer("/parts", name)
        if cell.goal == "rate" and part.lot is not None:
            yield InputError(f"{at}/lot", "a lot, goal rate", "a share, or the goal makespan", "lot_with_rate")
        if cell.goal == "makespan" and part.share is not None:
            yield InputError(f"{at}/share", "a share, goal makespan", "a lot, or the goal rate", "share_with_makespan")
        if cell.goal == "makespan" and part.lot is None:
            yield InputError(f"{at}/lot", "nothing", "the lot {size, count}; the goal is makespan", "no_lot")
        if cell.goal == "rate" and len(cell.parts) > 1 and part.share is None:
            yield InputError(f"{at}/share", "nothing", "its share of the mix; there are several parts", "no_share")
    if cell.goal == "rate" and shares and len(shares) == len(cell.parts) and abs(sum(shares) - 1) > 1e-6:
        yield InputError("/parts", f"shares that add up to {sum(shares):g}", "shares that add up to 1", "shares_sum")


def changeovers(cell: Cell) -> Iterator[InputError]:
    """A changeover is from one family to another, at processes."""
    for i, change in enumerate(cell.changeovers):
        if change.from_family == change.to_family:
            yield InputError(f"/changeovers/{i}/to", change.to_family, "another family than from", "changeover_same")
        for j, name in enumerate(change.at):
            if name in cell.stations and cell.stations[name].kind != "process":
                read = f"{name}, a {cell.stations[name].kind}"
                yield InputError(f"/changeovers/{i}/at/{j}", read, "a process", "changeover_not_process")

"""Routes and attendants as columns."""

from millhand.model.cell import Attendant, Cell, Dispatch, MoveTable
from millhand.model.mix import mix_of
from millhand.solvers.kernel import sources
from millhand.solvers.kernel.codes import FIRST_TO_FINISH, ON_BAD, RULES
from millhand.solvers.kernel.compile_stations import ranges
from millhand.solvers.kernel.expanded import Expanded
from millhand.solvers.kernel.layout import Attendants, Ints, Lots, Steps
from millhand.solvers.kernel.span_table import SpanTable
from millhand.solvers.sampling.span_draw import half_up


def compiled_steps(whole: Expanded, spans: SpanTable) -> Steps:
    """All routes one after the other."""
    cell, names = whole.cell, list(whole.cell.stations)
    every = [(p, at, step) for p, part in enumerate(cell.parts.values()) for at, step in enumerate(part.route)]
    lengths = [len(part.route) for part in cell.parts.values()]
    at = [whole.comes_to(list(cell.parts)[p], step) for p, step, _ in every]
    told = [whole.told(list(cell.parts)[p], step) for p, step, _ in every]
    at_from, at_to = ranges([len(each) for each in at])
    families = families_of(cell)
    uses_from, uses_to = ranges([len(step.uses) for step in told])
    lies, times = where_they_lie(whole, spans)
    mix = mix_of(cell.parts)
    return Steps(
        part=tuple(p for p, _, _ in every),
        first=ranges(lengths)[0],
        share=tuple(count / sum(mix.values()) for count in mix.values()),
        at_from=at_from,
        at_to=at_to,
        at=tuple(names.index(name) for each in at for name in each),
        lies=lies,
        time=times,
        good=tuple(step.good for step in told),
        good_stream=tuple(spans.stream(sources.source_number(sources.GOOD_SHARE, s, 0)) for s in range(len(names))),
        every=tuple(step.every for _, _, step in every),
        on_bad=tuple(ON_BAD[step.on_bad] for step in told),
        last=tuple(int(at == len(cell.parts[list(cell.parts)[p]].route) - 1) for p, at, _ in every),
        stay_max=tuple(-1 if step.stay_max_s is None else spans.steps(step.stay_max_s) for _, _, step in every),
        family=tuple(families.index(step.family) if step.family else -1 for _, _, step in every),
        uses_from=uses_from,
        uses_to=uses_to,
        uses_at=tuple(names.index(at) for step in told for at in step.uses),
        uses_pieces=tuple(pieces for step in told for pieces in step.uses.values()),
    )


def where_they_lie(whole: Expanded, spans: SpanTable) -> tuple[Ints, Ints]:
    """For each step and station: the step at which a part lies that came there (-1 where none comes), and for each step
    and station where parts lie how long the station takes with them (-1 where it does nothing)."""
    lies: list[int] = []
    times: dict[tuple[int, int], int] = {}
    first = 0
    for p, (part, told) in enumerate(whole.cell.parts.items()):
        for at, step in enumerate(told.route):
            come = whole.comes_to(part, at)
            for s, name in enumerate(whole.cell.stations):
                found = first + whole.lies_at(part, at, name) if name in come else -1
                span = (step.times_s or {}).get(name, step.time_s)
                lies.append(found)
                if found >= 0 and span is not None:
                    times[found, s] = spans.add(span, sources.source_number(sources.PROCESS_TIME, s, p))
        first += len(told.route)
    return tuple(lies), tuple(times.get((g, s), -1) for g in range(first) for s in range(len(whole.cell.stations)))


def families_of(cell: Cell) -> list[str]:
    """Families in the order in which routes and changeovers name them."""
    named = [step.family for part in cell.parts.values() for step in part.route if step.family]
    changed = [family for each in cell.changeovers for family in (each.from_family, each.to_family)]
    return list(dict.fromkeys((*named, *changed)))


def compiled_lots(whole: Expanded, slot_of: dict[tuple[str, str, int], int], spans: SpanTable) -> Lots:
    """Lots round after round, types in file order within a round; and what changes a station from family to family."""
    cell, names = whole.cell, list(whole.cell.stations)
    families = families_of(cell)
    count = max(1, len(families))
    change = [[-1] * (count * count) for _ in cell.stations]
    for number, each in enumerate(cell.changeovers):
        where = families.index(each.from_family) * count + families.index(each.to_family)
        for s, name in enumerate(cell.stations):
            if name in each.at:
                change[s][where] = slot_of["changeover", name, number]
    lots = [given_lots(cell, name) for name in cell.stations]
    first, keeps = shared_lots(cell, lots)
    return Lots(
        of_station=tuple(tuple((p, size) for p, size, _ in each) for each in lots),
        first=first,
        keeps=keeps,
        end=cell.goal == "makespan",
        families=count,
        change_slot=tuple(map(tuple, change)),
        turnaround=tuple(spans.steps(whole.turnaround_s.get(name, 0.0)) for name in names),
        twin=tuple(names.index(whole.back_of[name]) if name in whole.back_of else -1 for name in names),
        endless=tuple(first_slot(whole, name) for name in names),
        only_to=tuple(names.index(whole.only_to[name]) if name in whole.only_to else -1 for name in names),
    )


def given_lots(cell: Cell, name: str) -> list[tuple[int, int, int]]:
    """The lots of a supply in order: type, size, and in which round."""
    given = [(p, part.lot) for p, part in enumerate(cell.parts.values()) if part.lot and name in part.route[0].at]
    rounds = max((lot.count for _, lot in given), default=0)
    return [(p, lot.size, turn) for turn in range(rounds) for p, lot in given if lot.count > turn]


def shared_lots(cell: Cell, lots: list[list[tuple[int, int, int]]]) -> tuple[Ints, Ints]:
    """Over the lots of all supplies one after the other: where a lot stands first, and how many parts its supply has to
    keep for later ones that no other supply gives; none where it has no end or is refilled."""
    stands: dict[tuple[int, int], int] = {}
    first: list[int] = []
    keeps: list[int] = []
    only_here = [len(part.route[0].at) == 1 for part in cell.parts.values()]
    for each, station in zip(lots, cell.stations.values(), strict=True):
        limited = station.capacity is not None and station.refill is None and cell.goal == "makespan"
        for at, (p, _, turn) in enumerate(each):
            later = [size for q, size, _ in each[at + 1 :] if only_here[q]]
            first.append(stands.setdefault((p, turn), len(first)))
            keeps.append(sum(later) if limited else 0)
    return tuple(first), tuple(keeps)


def first_slot(whole: Expanded, name: str) -> int:
    """The number of the first of the endless slots of which a station is one; -1 where it is none."""
    first = next((each for each in whole.endless if name in whole.slots[each]), None)
    return -1 if first is None else list(whole.cell.stations).index(first)


def compiled_moves(cell: Cell, spans: SpanTable) -> tuple[Ints, dict[str, tuple[int, int]]]:
    """One flat list of times, and per table where its empty and its loaded times begin."""
    places = list(cell.places)
    flat: list[int] = []
    begins: dict[str, tuple[int, int]] = {}
    for name, table in cell.moves.items():
        begins[name] = (len(flat), len(flat) + len(places) ** 2)
        for matrix in (table.empty_s, table.loaded_s or table.empty_s):
            flat += [_entry(table, matrix, (at, to), spans) for at in places for to in places]
    return tuple(flat), begins


def _entry(
    table: MoveTable, matrix: tuple[tuple[float | None, ...], ...], ends: tuple[str, str], spans: SpanTable
) -> int:
    """One time in steps; staying where one is takes none; -1 where the table has no such move."""
    at, to = ends
    if at == to:
        return 0
    if at not in table.places or to not in table.places:
        return -1
    seconds = matrix[table.places.index(at)][table.places.index(to)]
    return -1 if seconds is None else spans.steps(seconds)


def compiled_attendants(
    cell: Cell, begins: dict[str, tuple[int, int]], sources: list[list[int]], slots: list[list[int]], swaps: list[int]
) -> Attendants:
    """One entry an attendant."""
    all_of = list(cell.attendants.values())
    places, calendars, stations = list(cell.places), list(cell.calendars), list(cell.stations)
    rules = [cell.dispatch.get(name, Dispatch()) for name in cell.attendants]
    source_from, source_to = ranges([len(row) for row in sources])
    slot_from, slot_to = ranges([len(row) for row in slots])
    before = sum(len(station.faults) for station in cell.stations.values())
    fault_from, fault_to = ranges([len(attendant.faults) for attendant in all_of])
    return Attendants(
        arm=tuple(int(x.kind == "arm") for x in all_of),
        hands=tuple(x.hands for x in all_of),
        turn=tuple(half_up(x.turn_s / cell.grid_s) for x in all_of),
        home=tuple(places.index(x.home) if x.home in places else 0 for x in all_of),
        full=tuple(begins[x.moves_full][0] if x.moves_full else -1 for x in all_of),
        slow=tuple(begins[x.moves_slow][0] if x.moves_slow else -1 for x in all_of),
        pace=tuple(x.pace if x.kind == "operator" else 1.0 for x in all_of),
        calendar=tuple(calendars.index(x.calendar) if x.calendar else -1 for x in all_of),
        swaps=tuple(swaps),
        rule=tuple(_rule(dispatch) for dispatch in rules),
        rank=tuple(
            dispatch.order.index(name) if name in dispatch.order else len(stations)
            for dispatch in rules
            for name in stations
        ),
        source_from=source_from,
        source_to=source_to,
        source=tuple(s for row in sources for s in row),
        slot_from=slot_from,
        slot_to=slot_to,
        slot=tuple(s for row in slots for s in row),
        fault_from=tuple(before + at for at in fault_from),
        fault_to=tuple(before + at for at in fault_to),
        wears=tuple(int(bool(x.wear)) for x in all_of),
    )


def _rule(dispatch: Dispatch) -> int:
    """The rule in use: `cycle` gives way to its fallback."""
    if dispatch.rule != "cycle":
        return RULES[dispatch.rule]
    return RULES[dispatch.fallback] if dispatch.fallback else FIRST_TO_FINISH


def words_on_dispatch(cell: Cell, without: list[str]) -> list[str]:
    """What the reader must know about rules that were replaced: attendants for whom no cycle was found."""
    rules = {name: cell.dispatch[name].fallback or "first_to_finish" for name in without}
    return [
        f"{name}: no cycle of this cell is known; it chooses by its fallback, {rule}" for name, rule in rules.items()
    ]


def words_on_walks(cell: Cell, attendants: dict[str, Attendant]) -> list[str]:
    """Ways that no table holds and that therefore take no time of their own."""
    said = []
    for name, duty in cell.duties.items():
        for who in duty.who:
            table = cell.moves.get(attendants[who].moves_full or "")
            if duty.place and duty.place != attendants[who].home and (table is None or duty.place not in table.places):
                said.append(f"{who}: no way to {duty.place} in its table, so going there for {name} takes no time")
    return said

"""The mean load of what is left out of the cycle: stops, wear, refills, missed picks, duties, hours of work."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from millhand.model.cell import Attendant, Cell
from millhand.model.duty import Duty, Trigger
from millhand.model.handling import Handling
from millhand.model.station import Station
from millhand.solvers.cycle.loads.fates import ended_share, saved_by_clock, span_of, worked_share
from millhand.solvers.cycle.loads.flows import Flows
from millhand.solvers.cycle.loads.sharing import Job
from millhand.solvers.cycle.pieces import pieces_used

DAY_S, WEEK_S = 86_400.0, 604_800.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Burden:
    """What one visit of a station brings along on average: time lost there [s], and calls of duties."""

    lost_s: float
    calls: Mapping[str, float]


def visit_burden(cell: Cell, station: Station, busy_s: float, *, ended: float = 1.0) -> Burden:
    """Stops on busy time and on loads, and wear, per part, which has `busy_s` of the work on its load; a load that is
    spoilt never ends, and does not count as one for wear. What a clock has renewed before it is worn stops nothing."""
    calls: defaultdict[str, float] = defaultdict(float)
    lost, loads = 0.0, 1.0 / station.batch
    for fault in station.faults:
        if fault.on == "clock":
            continue
        each = fault.p if fault.p is not None else 1.0 / fault.every.mean_s if fault.every else 0.0
        times = each * (busy_s if fault.on == "busy" else loads)
        lost += times * end_s(cell, fault.duty, fault.self_s.mean_s if fault.self_s else 0.0)
        if fault.duty:
            calls[fault.duty] += times
    for wear in station.wear:
        times = (loads * ended if wear.unit == "loads" else busy_s) / (wear.limit * (1 + wear.spares))
        lost += 0.0 if renewed_at_work(cell, wear.duty) else times * end_s(cell, wear.duty, 0.0)
        if wear.duty:
            calls[wear.duty] += times
    return Burden(lost_s=lost, calls=calls)


def end_s(cell: Cell, duty: str | None, otherwise_s: float) -> float:
    """How long a stop lasts at least, once somebody is there."""
    return cell.duties[duty].takes.mean_s if duty is not None and duty in cell.duties else otherwise_s


def renewed_at_work(cell: Cell, duty: str | None) -> bool:
    """Whether a clock has something renewed before it is worn, and what wears it works on meanwhile."""
    found = cell.duties.get(duty or "")
    return found is not None and "clock" in kinds(found) and found.holds != "station"


def kinds(duty: Duty) -> set[str]:
    """What calls a duty."""
    return {each.kind for each in (duty.trigger, duty.also) if each is not None}


def miss_s(row: Handling | None) -> float:
    """What missed picks add to one pick on average: p + p^2 + ... retries."""
    if row is None or row.miss is None:
        return 0.0
    p, retries = row.miss.p, row.miss.retries
    tries = (p / (1 - p) if p < 1 else 0.0) if retries is None else sum(p**n for n in range(1, retries + 1))
    return tries * row.miss.retry_s.mean_s


def clock_factors(cell: Cell, *, but: frozenset[str] = frozenset()) -> dict[str, float]:
    """By how much the clock lengthens the work of each station and attendant: stops and duties that come by the hour,
    `but` for these duties.

    An interval is taken to start anew when the stop is over, which is the milder reading: 1 + (stop / interval). A gate
    is not lengthened: its turnaround goes on while it stands. A stop that spoils a load saves the work on it.
    """
    found = dict.fromkeys([*cell.stations, *cell.attendants], 1.0)
    for name, station in cell.stations.items():
        for fault in station.faults:
            if fault.on == "clock" and fault.every:
                lost = end_s(cell, fault.duty, fault.self_s.mean_s if fault.self_s else 0.0) / fault.every.mean_s
                stretch(found, (name, *fault.stops), lost)
                stretch(found, alone(cell, fault.duty), lost)
    for name, attendant in cell.attendants.items():
        for stopped, lost in attendant_losses(cell, name, attendant):
            stretch(found, stopped, lost)
    for key, duty in cell.duties.items():
        if has_clock(duty) and key not in but:
            stretch(found, duty.who, clock_share(duty.trigger, duty.takes.mean_s))
    for name in cell.stations:
        found[name] /= 1 + saved_by_clock(cell, name)
    return found | {name: 1.0 for name, station in cell.stations.items() if station.kind == "gate"}


def attendant_losses(cell: Cell, name: str, attendant: Attendant) -> Iterator[tuple[tuple[str, ...], float]]:
    """Stops and wear of an attendant that grow with its time: who stands still, and for which share of it."""
    for fault in attendant.faults:
        if fault.on != "load" and fault.every:
            lost = end_s(cell, fault.duty, fault.self_s.mean_s if fault.self_s else 0.0) / fault.every.mean_s
            yield ((name, *fault.stops) if fault.on == "clock" else (name,)), lost
            if fault.on == "clock":
                yield alone(cell, fault.duty), lost
    for wear in attendant.wear:
        if wear.unit == "busy_s" and not renewed_at_work(cell, wear.duty):
            yield (name,), end_s(cell, wear.duty, 0.0) / (wear.limit * (1 + wear.spares))


def stretch(factors: dict[str, float], names: Iterable[str], lost: float) -> None:
    """Lengthen the work of these by a share; 'all' means everybody."""
    chosen = list(names)
    for name in dict.fromkeys(list(factors) if "all" in chosen else chosen):
        if name in factors:
            factors[name] *= 1 + lost


def alone(cell: Cell, duty: str | None) -> tuple[str, ...]:
    """The one attendant who answers a duty; nobody where several could."""
    who = cell.duties[duty].who if duty is not None and duty in cell.duties else ()
    return who if len(who) == 1 else ()


def clock_share(trigger: Trigger, takes_s: float) -> float:
    """The time a duty by the clock takes, per hour left for everything else."""
    if trigger.every and trigger.every.mean_s > 0:
        return takes_s / trigger.every.mean_s
    period_s = DAY_S if max(trigger.at_s, default=0.0) < DAY_S else WEEK_S  # a time after the first day: each week
    return len(trigger.at_s) * takes_s / period_s


def per_load_s(cell: Cell, name: str) -> float:
    """What each part moved costs an attendant on average by its own stops and wear counted in loads [s]."""
    attendant = cell.attendants[name]
    stops = sum(
        (fault.p if fault.p is not None else 1.0 / fault.every.mean_s if fault.every else 0.0)
        * end_s(cell, fault.duty, fault.self_s.mean_s if fault.self_s else 0.0)
        for fault in attendant.faults
        if fault.on == "load"
    )
    worn = sum(
        end_s(cell, wear.duty, 0.0) / (wear.limit * (1 + wear.spares))
        for wear in attendant.wear
        if wear.unit == "loads" and not renewed_at_work(cell, wear.duty)
    )
    return stops + worn


def station_calls(cell: Cell, flow: Flows) -> Mapping[str, float]:
    """Calls of duties per part set by stops and wear of stations, at the alternative that calls least."""
    found: defaultdict[str, float] = defaultdict(float)
    for (part, index), times in flow.visits.items():
        step = cell.parts[part].route[index]
        if index == 0 and any(cell.stations[name].kind == "gate" for name in step.at):
            continue  # a gate counts the parts that are set down
        burdens = []
        for name in step.at:
            ended = ended_share(cell, step, name)
            station = cell.stations[name]
            busy_s = span_of(step, name).mean_s * worked_share(cell, step, name) / station.batch if ended else 0.0
            burdens.append(visit_burden(cell, station, busy_s, ended=ended).calls)
        for duty in burdens[0]:
            found[duty] += times * min(each.get(duty, 0.0) for each in burdens)
    return found


def stock_calls(cell: Cell, flow: Flows) -> Mapping[str, float]:
    """Calls of refills per part set: one fill lasts at most a whole capacity."""
    found: defaultdict[str, float] = defaultdict(float)
    for name, station in cell.stations.items():
        callers = {station.refill} if station.refill else set()
        callers |= {key for key, duty in cell.duties.items() if called_by_level(duty.trigger, duty.also, name)}
        if not callers or not station.capacity:
            continue
        through = sum(
            times for (part, index), times in flow.visits.items() if cell.parts[part].route[index].at == (name,)
        )
        through += sum(
            flow.visits.get((part, index), 0.0) * pieces
            for part, index, stock, pieces in pieces_used(cell)
            if stock == name
        )
        for duty in callers:
            found[duty] = max(found[duty], through / station.capacity)
    return found


def called_by_level(trigger: Trigger, also: Trigger | None, station: str) -> bool:
    """Whether a stock calls this duty."""
    return any(each is not None and each.kind == "level" and station in each.at for each in (trigger, also))


def count_calls(cell: Cell, flow: Flows) -> Mapping[str, float]:
    """Calls of duties that come each so many parts; one that is spoilt or scrapped where it lies is not taken out."""
    found: defaultdict[str, float] = defaultdict(float)
    for name, duty in cell.duties.items():
        if duty.trigger.kind != "parts" or not duty.trigger.every_n:
            continue
        at = set(duty.trigger.at)
        through = sum(
            times * flow.going_on(part, index)
            for (part, index), times in flow.visits.items()
            if at.issuperset(cell.parts[part].route[index].at)
        )
        found[name] += through / duty.trigger.every_n
    return found


def duty_calls(cell: Cell, flow: Flows) -> dict[str, float]:
    """How often each duty is called per part set, at least, but for its clock.

    Whatever called a duty, it fills or empties the stock that it restores. A stock that calls it as well, when it is
    empty or full, does so less often for that: one fill lasts no longer than a whole capacity, so together the calls
    are at least as many as the fills that are needed, and at least as many as come without the stock.
    """
    found: defaultdict[str, float] = defaultdict(float)
    for calls in (station_calls(cell, flow), count_calls(cell, flow)):
        for name, times in calls.items():
            found[name] += times
    for name, times in stock_calls(cell, flow).items():
        found[name] = max(found[name], times)
    return {name: times for name, times in found.items() if times and name in cell.duties}


def calls_or_clock(cell: Cell, flow: Flows, period_s: float) -> tuple[dict[str, float], frozenset[str]]:
    """The calls of duties per part set that count, and the duties with a clock of which they count instead of it: those
    of which more come than the clock rings while a part set takes this.

    A clock that has a stock filled or wear renewed puts their next calls off, so rings and calls must not be added up.
    What is done is at least each of them, whatever a part set takes: that only says which of them is more.
    """
    called = duty_calls(cell, flow)
    clocks = {name: duty.trigger for name, duty in cell.duties.items() if has_clock(duty)}
    instead = {name for name in clocks if called.get(name, 0.0) > period_s * clock_share(clocks[name], 1.0)}
    dropped = clocks.keys() - instead
    return {name: times for name, times in called.items() if name not in dropped}, frozenset(instead)


def has_clock(duty: Duty) -> bool:
    """Whether a duty lengthens the work of the one who answers it by its clock."""
    return duty.trigger.kind == "clock" and len(duty.who) == 1


def duty_jobs(cell: Cell, flow: Flows, called: Mapping[str, float], beside_s: Mapping[str, float]) -> list[Job]:
    """The work of duties that are called so often per part set [s]: for whoever may answer, and for whom the duty holds
    up. `beside_s`: how long a load binds each station beside its work, and an attendant by work that it stays at.

    What a stop or a worn tool holds up is counted with the station's own load, not here.
    """
    by_station = station_calls(cell, flow)
    jobs = [
        dict.fromkeys(cell.duties[name].who, times * cell.duties[name].takes.mean_s) for name, times in called.items()
    ]
    held: defaultdict[str, defaultdict[tuple[str, ...], float]] = defaultdict(lambda: defaultdict(float))
    for name, times in called.items():
        duty = cell.duties[name]
        for arm in arms_held(cell, name):
            held[arm][duty.who] += times * max(0.0, duty.takes.mean_s - beside_s[arm]) / len(duty.who)
        if duty.holds == "station" and name not in by_station and len(duty.trigger.at) == 1:
            held[duty.trigger.at[0]][duty.who] += times * station_s(cell, duty, beside_s) / len(duty.who)
    return [*jobs, *({name: max(times.values())} for name, times in held.items())]


def arms_held(cell: Cell, name: str) -> list[str]:
    """The arms that stand while somebody else is at a duty; work that one stays at goes on meanwhile. Two people may
    hold the same one up at the same time, so only what one and the same has to do adds up."""
    duty = cell.duties[name]
    arms = [who for who, attendant in cell.attendants.items() if attendant.kind == "arm"]
    held = arms if duty.holds == "arm" and len(arms) == 1 and arms[0] not in duty.who else []
    return list(dict.fromkeys([*held, *stopped_by(cell, name)]))


def station_s(cell: Cell, duty: Duty, beside_s: Mapping[str, float]) -> float:
    """How much longer a station is bound by a duty that holds it, at least: no work goes on there meanwhile, but the
    load before may be on its way out, and one exchange of loads may fall into it. It holds one slot of several."""
    at = duty.trigger.at[0]
    station = cell.stations[at]
    if station.kind != "process":
        return duty.takes.mean_s
    return max(0.0, duty.takes.mean_s - beside_s[at]) / station.capacity if station.capacity else 0.0


def stopped_by(cell: Cell, duty: str) -> list[str]:
    """Attendants that stand still while this duty is done in their zone."""
    zones = [zone for zone in cell.zones.values() if duty in zone.duties]
    return list(dict.fromkeys(name for zone in zones for name, how in zone.slows.items() if how == "stop"))


def open_shares(cell: Cell) -> dict[str, float]:
    """The share of all hours in which each station and attendant works by its calendar."""
    hours_of = {name: station.calendar for name, station in cell.stations.items() if station.kind != "gate"}
    hours_of |= {name: attendant.calendar for name, attendant in cell.attendants.items()}
    found = {}
    for name, own in hours_of.items():
        calendar = cell.calendars.get(own or "")
        hours = 1.0 if calendar is None else sum(end - start for start, end in calendar.on) / calendar.period_s
        found[name] = hours
    return found

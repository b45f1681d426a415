"""The answer of `millhand simulate` for one cell, as text of 80 columns; parts without content are left out."""

from collections.abc import Iterator, Mapping

from millhand.cli.simulate_table import abreast, between, fine_percent, lasting, paragraph, percent, seconds, table
from millhand.model.cell import Cell, Dispatch
from millhand.model.performance import Output
from millhand.solvers.cycle.bound_words import name_of
from millhand.solvers.cycle.bounds import load_bounds
from millhand.solvers.kernel.codes import ATTENDANT_STATES, STATION_STATES
from millhand.solvers.kernel.endless import simulated
from millhand.solvers.output.per_shift import (
    SHIFT_H,
    interventions,
    minutes_of_people,
    operators,
    parts_left,
    rates,
    scaled,
)
from millhand.solvers.output.pilot import Pilot
from millhand.solvers.output.runs import Sureness
from millhand.solvers.output.undone import passed_over, too_much, undone

QUANTILES = (("1 in 10 by", "p10_s"), ("half by", "p50_s"), ("9 in 10 by", "p90_s"))
KEY_FIGURES = ("availability", "effectiveness", "quality", "oee")
PERSON_STATES = {"travelling", "carrying", "handling", "on_duty", "idle", "break", "waiting_station", "slowed"}
ELSEWHERE = ("attended", "unattended", "good_unattended", "calls", "picked")  # told elsewhere, or by other counts
BESIDES = {
    "scrapped": "parts scrapped",
    "escaped": "bad parts that left unseen",
    "gauged": "parts gauged",
    "misses": "picks that missed",
    "late": "parts that stayed too long",
}
LATE = (
    "A part that stays longer than its stay_max_s is scrap. Whoever carries the parts keeps such stays by the dispatch "
    "rule cycle, which follows the schedule of `millhand schedule`."
)
STATES = tuple(dict.fromkeys(STATION_STATES + ATTENDANT_STATES))
Block = list[str]


def answer(cell: Cell, output: Output, *, sure: Sureness, pilot: Pilot | None) -> Iterator[str]:
    """All lines, blocks parted by empty ones."""
    blocks = (
        _head(cell, output, pilot),
        _parts(cell, output),
        _sure(output, sure),
        _alone(output),
        _causes(output),
        _duties(output),
        _undone(cell, output),
        _people(cell, output),
        _levels(cell, output),
        _late(output),
        _cycles(output),
        _effectiveness(output),
        *_states(output),
        [line for words in output.left_out for line in paragraph(f"Left out: {words}.")],
    )
    yield from joined(blocks)


def joined(blocks: tuple[Block, ...]) -> Iterator[str]:
    """Blocks that hold something, with an empty line between."""
    for number, block in enumerate(block for block in blocks if block):
        if number:
            yield ""
        yield from block


def _head(cell: Cell, output: Output, pilot: Pilot | None) -> Block:
    """What was run."""
    counted = f"{output.replications} replications of {output.horizon_s / 3600:g} h, seed {output.seed}"
    return [*paragraph(cell.name), counted, *paragraph(rules_words(cell)), *(pilot_words(pilot) if pilot else ())]


def rules_words(cell: Cell) -> str:
    """By which rule the work is chosen; by whom only where the rules differ."""
    rules = {who: cell.dispatch.get(who, Dispatch()).rule for who in cell.attendants}
    if len(set(rules.values())) < 2:
        return "".join(f"work chosen by the rule {rule}" for rule in set(rules.values()))
    return f"work chosen by the rule: {', '.join(f'{who} {rule}' for who, rule in rules.items())}"


def pilot_words(pilot: Pilot) -> Block:
    """What the pilot found."""
    rule = f"found by {'MSER' if pilot.batch == 1 else f'MSER-{pilot.batch}'}"
    each = f"a pilot of {pilot.replications} replications of {pilot.slices} slices of {pilot.slice_h:g} h"
    if not pilot.by_chance:
        words = (
            "Warm-up: nothing was cut off. Nothing in this cell is left to chance, and the rule that finds a warm-up "
            "needs chance; --warm-up HOURS cuts what you say, and `millhand schedule` tells the steady cycle."
        )
    elif not pilot.long_enough:
        words = (
            f"Warm-up: run too short. In {each} the best cut lies beyond the first half, so nothing was cut off. Write "
            f"more --hours than {pilot.slices * pilot.slice_h:g}; if it stays so, the cell never settles (a stock that "
            "grows, say)."
        )
    elif pilot.cut_h:
        words = f"Warm-up: {pilot.cut_h:g} h cut off, {rule} in {each}."
    else:
        words = f"Warm-up: none needed, {rule} in {each}."
    return paragraph(words)


def _parts(cell: Cell, output: Output) -> Block:
    """Parts by the hour, the shift and the week."""
    rows = [
        (
            rate.parts,
            f"{rate.per_h.mean:.3f}",
            between(rate.per_h, 3),
            f"{rate.per_shift.mean:.1f}",
            f"{rate.per_week.mean:.0f}",
        )
        for rate in rates(output)
    ]
    lines = table(("", "an hour", "95 % interval", "in 8 h", "in a week"), rows) + _lots(cell, output)
    if 0 < output.attended_share < 1:
        lines += paragraph(
            f"Somebody is there in {percent(output.attended_share)} of the time. Attended and alone, hours and shifts "
            "are of that time and of the other; weeks are of all 168 h."
        )
    return lines + _besides(output)


def _lots(cell: Cell, output: Output) -> Block:
    """When all lots are done, or how much of them is not."""
    until, hours = output.finished_s, output.horizon_s / 3600
    if until is None:
        return []
    left = parts_left(cell, output)
    if left * output.replications >= 0.5:  # one part of one replication is more than rounding
        return paragraph(f"Not all lots are done in {hours:g} h: {left:.1f} parts are left. Write more --hours.")
    done = f"All lots are done after {until.mean / 3600:.2f} h ({between_h(until.low, until.high)})"
    return paragraph(f"{done}; the rates are over all {hours:g} h.")


def _besides(output: Output) -> Block:
    """Counts of other things, where there are any."""
    told = [
        f"{scaled(figure, SHIFT_H).mean:.2f} {BESIDES.get(name, name.replace('_', ' '))}"
        for name, figure in output.counts.items()
        if name not in ELSEWHERE and figure.mean > 0
    ]
    lines = paragraph(f"In 8 h of all hours: {', '.join(told)}.") if told else []
    late = output.counts.get("late")
    return lines + (paragraph(LATE) if late is not None and late.mean > 0 else [])


def between_h(low_s: float, high_s: float) -> str:
    """An interval of time in hours."""
    return f"{low_s / 3600:.2f} to {high_s / 3600:.2f}"


def _sure(output: Output, sure: Sureness) -> Block:
    """How sure the good parts are, and what more it would take."""
    if sure.half_width_share is None:
        few = "one replication shows no spread" if output.replications == 1 else "no good parts came out"
        return [f"How sure the good parts are cannot be said: {few}."]
    if sure.half_width_share == 0.0:
        return [f"All {output.replications} replications gave the same good parts."]
    known = f"Good parts are known to {fine_percent(sure.half_width_share)} of their mean (half the interval)"
    wanted = fine_percent(sure.precision)
    if sure.met:
        took = f"the {wanted} asked for took {output.replications} replications" if sure.asked else f"{wanted} is met"
        return paragraph(f"{known}; {took}.")
    takes = f"{sure.needed} replications" if sure.needed else "more than can be said"
    if not sure.asked:
        return paragraph(f"{known}; {wanted} would take {takes} (--precision {sure.precision:g}).")
    return paragraph(
        f"{known}; the {wanted} asked for was not met by {output.replications} replications, the most allowed. It "
        f"seems to take {takes}: write --most {sure.needed or ''}, or more --hours."
    )


def _alone(output: Output) -> Block:
    """How long it runs with nobody there, and what it makes."""
    alone, first = output.alone, output.alone_s
    if not first.get("absences"):
        return []
    rows = [("until somebody is needed", *_quantiles(first))]
    if alone is not None and alone.until_end_s:
        rows.append(("until it stands, where it does", *_quantiles(alone.until_end_s)))
    lines = table(("nobody there", *(label for label, _ in QUANTILES)), rows)
    count = f"{first['absences']:.0f} absence{'s' * (first['absences'] > 1)} of all people"
    if alone is None:
        return [*lines, f"{count}, not over yet."]
    made = f"{alone.parts.mean:.1f} parts made in each ({between(alone.parts, 1)})"
    return lines + paragraph(f"{count}: {percent(alone.ran_through)} ran through to their end; {made}.")


def _quantiles(known: Mapping[str, float]) -> list[str]:
    """Three quantiles; one that lies beyond the absences is not known."""
    return [lasting(known[key]) if key in known else "longer" for _, key in QUANTILES]


def _causes(output: Output) -> Block:
    """What was needed first with nobody there, and what the cell stood for in the end."""
    if output.alone is None:
        return []
    first, last = output.alone.first_need, output.alone.ended_by
    rows = [
        (name, *(percent(shares[name]) if name in shares else "-" for shares in (first, last)))
        for name in dict.fromkeys((*first, *last))
    ]
    return table(("of all absences", "needed first", "stood for it"), rows) if rows else []


def _duties(output: Output) -> Block:
    """How often and how long people are called."""
    rows = [
        (each.duty, f"{each.times.mean:.2f}", between(each.times, 2), f"{each.minutes.mean:.1f}")
        for each in interventions(output)
    ]
    hours = "in 8 h with somebody there" if 0 < output.attended_share < 1 else "in 8 h"
    return table((hours, "times", "95 % interval", "minutes"), rows) if rows else []


def _undone(cell: Cell, output: Output) -> Block:
    """Duties that nobody gets through; and where there is more work than time, how many parts can be kept up."""
    late, short = undone(cell, output), too_much(cell, output)
    left = [f"{', '.join(late)} is left undone more and more often while parts leave all the same."] if late else []
    if short is None:
        return paragraph(left[0]) if left else []
    over = passed_over(cell, output)
    left += [f"{', '.join(over)} is not done each time its clock rings."] if over else []
    if not left:
        return []
    busiest, most = short
    bounds = load_bounds(cell)
    words = next((each.words for each in bounds if each.resource == name_of(busiest)), bounds[0].words)
    people = [cell.attendants[who] for who in busiest.resources if who in cell.attendants]
    hours = " in the hours of work" if any(each.calendar for each in people) else ""
    return paragraph(
        f"{words}. That is more work than there is time for{hours}: {' '.join(left)} No more than {most:.3f} an hour "
        "can be kept up."
    )


def _people(cell: Cell, output: Output) -> Block:
    """What each person does in a shift."""
    told = minutes_of_people(output, operators(cell))
    kinds = ("duties", "handling", "walking", "free")
    rows = [(name, *(f"{minutes[kind]:.1f}" for kind in kinds)) for name, minutes in told.items()]
    return table(("minutes in 8 h at work", *kinds), rows) if rows else []


def _levels(cell: Cell, output: Output) -> Block:
    """Parts lying in supplies, stores and outfeeds."""
    rows = []
    stations = simulated(cell).cell.stations  # a machine's own buffers as stores of their own
    for name, level in output.levels.items():
        room = stations[name].capacity
        rows.append((name, f"{level:.1f}", "any number" if room is None else str(room)))
    return table(("stock", "parts, mean", "room for"), rows) if rows else []


def _late(output: Output) -> Block:
    """Where parts stayed too long: each station that limits stays, where that happened at any."""
    rows = [
        (name, f"{each.mean:.2f}", between(each, 2))
        for name, each in ((name, scaled(figure, SHIFT_H)) for name, figure in output.late_at.items())
    ]
    some = any(figure.mean > 0 for figure in output.late_at.values())
    return table(("stayed too long at", "in 8 h", "95 % interval"), rows) if some else []


def _cycles(output: Output) -> Block:
    """Time between finished loads."""
    keys = ("mean_s", "p10_s", "p50_s", "p90_s")
    rows = [
        (name, *(seconds(times[key]) if key in times else "-" for key in keys)) for name, times in output.cycles.items()
    ]
    if not rows:
        return []
    error = max(times["error"] for times in output.cycles.values())
    head = ("seconds from load to load, about", "mean", *(label for label, _ in QUANTILES))
    words = (
        f"Times are counted in classes, and each figure is the middle of its class: it may be {percent(error)} more or "
        "less, the mean too. A time that never changes shows as the middle of its class as well."
    )
    return [*table(head, rows), *paragraph(words)]


def _effectiveness(output: Output) -> Block:
    """The standard's key figures."""
    rows = [
        (name, *(f"{told[key]:.1%}" if key in told else "-" for key in KEY_FIGURES))
        for name, told in output.effectiveness.items()
    ]
    head = ("ISO 22400-2", "availability", "effectiveness", "quality", "OEE")
    if not rows:
        return []
    worse = any(told.get("quality", 1.0) < 1.0 for told in output.effectiveness.values())
    return table(head, rows) + (["Quality is that of the whole cell."] if worse else [])


def _states(output: Output) -> Iterator[Block]:
    """Shares of time: stations, then attendants, as many side by side as fit; only states that occur."""
    of_people = [name for name, states in output.states.items() if set(states) & PERSON_STATES]
    of_stations = [name for name in output.states if name not in of_people]
    for owners in (*abreast(of_stations, first=17, least=6), *abreast(of_people, first=17, least=6)):
        shares = [output.states[owner] for owner in owners]
        states = [state for state in STATES if any(state in each for each in shares)]
        rows = [
            (state.replace("_", " "), *(f"{each[state]:.1%}" if state in each else "-" for each in shares))
            for state in states
        ]
        yield table(("share of time", *owners), rows)

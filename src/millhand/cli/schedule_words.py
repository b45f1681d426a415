"""What a schedule says in words: how fast, how it was found and how surely, who sets the pace and who would next."""

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from textwrap import wrap

from millhand.model.cell import Cell
from millhand.model.mix import part_set
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.pace import circuit_words, gap
from millhand.solvers.cycle.setters import Pace, Setter, pace_of

HOUR_S = 3600.0
WIDTH, LABEL = 80, 17
LEAST_TOLD = 0.05  # percent: what is less is rounding
NAMED = 4  # things left out of a cycle that stand beside its proof; the list below has all
UNIT = re.compile(r"(\d) (%|s)(?!\w)")


def number(value: float) -> str:
    """Up to three decimals, none that say nothing."""
    return f"{value:.3f}".rstrip("0").rstrip(".")


def labelled(label: str, text: str) -> Iterator[str]:
    """A label and its words, broken to the width of a terminal."""
    first, *rest = wrapped(text, WIDTH - LABEL) or [""]
    yield f"{label:<{LABEL}}{first}"
    yield from (f"{'':<{LABEL}}{line}" for line in rest)


def wrapped(text: str, width: int = WIDTH) -> list[str]:
    """Words in lines; a number stays with its unit."""
    kept = UNIT.sub("\\1\N{NO-BREAK SPACE}\\2", text)
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in wrap(kept, width=width)]


def schedule_words(cell: Cell, found: Schedule) -> Iterator[str]:
    """The head of the answer: figures, proof, circuit, pace."""
    period, parts = found.period_steps * found.grid_s, found.parts_per_period
    ends = found.goal == "makespan"
    what, many = "last part out" if ends else "period", "s" if parts > 1 else ""
    yield f"{what:<{LABEL}}{number(period)} s for {parts} part{many}"
    yield f"{'time per part':<{LABEL}}{number(period / parts)} s"
    if period > 0:
        yield f"{'parts per hour':<{LABEL}}{number(parts * HOUR_S / period)} while nothing goes wrong"
    yield from labelled("found", found.how)
    size = sum(part_set(cell.parts).values())
    other = "" if ends else other_words(found, size)
    yield from labelled("proof", proof_words(found) + other + without_words(found.left_out))
    if not ends:
        yield f"{'gap to the bound':<{LABEL}}{100 * gap(found, size):.3g} %"
    if found.critical:
        yield from labelled("path" if ends else "circuit", circuit_words(found))
    pace = pace_of(cell, found)
    if pace is not None:
        yield from labelled("pace", pace_words(pace))
        yield from labelled("next", next_words(pace, found, size))


def other_words(found: Schedule, size: int) -> str:
    """What a proof among cycles of one kind leaves open: how much shorter a part one of another kind could be."""
    won = 100 * (1 - 1 / (1 + gap(found, size)))
    if not found.proven or won < LEAST_TOLD:
        return ""
    return f"; one of another kind, as with more parts a period, could be shorter a part by {won:.3g} % at most"


def proof_words(found: Schedule) -> str:
    """Whether nothing shorter exists; otherwise how much shorter it could be at most."""
    if found.proven:
        return "proven to be the best of its kind"
    least = found.least_steps
    if least <= 0 or found.period_steps <= 0:
        return "not proven to be the best"
    won = 1 - least / found.period_steps
    said = f"nothing can be shorter than {number(least * found.grid_s)} s, so at most {100 * won:.3g} % could be won"
    return f"not proven to be the best; {said}"


def without_words(left_out: Sequence[str]) -> str:
    """What the proof does not speak of, in the same breath: duties first, then the others, each without its reason."""
    heads = [each.partition(":")[0].partition(";")[0].replace(",", "") for each in left_out]
    groups: dict[str, list[str]] = {}
    for head in sorted(heads, key=lambda head: "duty" not in head):
        what, _, whose = head.partition(" of ")
        groups.setdefault(what, []).extend([whose] if whose else [])
    told = [f"{what} of {and_words(names)}" if names else what for what, names in groups.items()]
    if not told:
        return ""
    more = len(told) - NAMED
    return f"; it is without {and_words([*told[:NAMED], f'{more} more'] if more > 1 else told)}: all listed below"


def pace_words(pace: Pace) -> str:
    """Those that set the pace, then the nearly equal ones, with one share of the period for all that have the same."""
    first = pace.setters[0]
    equal = [each for each in pace.setters if each.period_steps == first.period_steps]
    near: dict[str, list[Setter]] = {}
    for each in (each for each in pace.setters if each not in equal):
        near.setdefault(part_of(each.period_steps / first.period_steps), []).append(each)
    said = f"set by {listed(equal)}"
    if near:
        said += f", and nearly as much by {', then '.join(f'{listed(own)} at {share}' for share, own in near.items())}"
    beside = [name for name in first.beside if name not in {each.name for each in equal}]
    if beside:
        said += f"; on the way round the circuit waits for {and_words(beside)} too"
    return said


def next_words(pace: Pace, found: Schedule, size: int) -> str:
    """Who would set the pace if those that do took no time, and what can be won before that."""
    names = and_words(sorted(each.name for each in pace.setters))
    following = pace.following
    if following is None:
        return f"nothing else would: all the time of the cycle is that of {names}"
    period, then = found.period_steps * found.grid_s, float(following.period_steps) * found.grid_s
    won = (period - then) / found.parts_per_period
    said = (
        f"{listed([following])} at {number(then)} s, {percent(following.period_steps / found.period_steps)} of the "
        f"cycle: with the same order of visits, {names} becoming quicker wins {number(won)} s a part at most"
    )
    load = load_steps(found, following.name, size)
    if load is not None and round(load) < round(float(following.period_steps)):
        share = percent(Fraction(round(load), found.period_steps))
        said += f" (its load alone is {number(load * found.grid_s)} s, {share}: another order could win more)"
    return said


def load_steps(found: Schedule, name: str, size: int) -> float | None:
    """The load of one resource for all parts of the period; None where it has no bound of its own."""
    loads = [bound.cycle_steps for bound in found.bounds if bound.resource == name]
    return loads[0] * found.parts_per_period / size if loads else None


def listed(setters: Sequence[Setter]) -> str:
    """Names with what they are: 'm1, m2 and m3 (machines)'."""
    kinds = list(dict.fromkeys(each.kind for each in setters))
    groups = []
    for kind in kinds:
        own = sorted(each.name for each in setters if each.kind == kind)
        plural = f"{kind}s" if len(own) > 1 and not kind.endswith("s") else kind
        groups.append(and_words(own) if own == [kind] else f"{and_words(own)} ({plural})")
    return " and ".join(groups)


def and_words(names: Sequence[str]) -> str:
    """'a, b and c'."""
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last


def part_of(share: Fraction) -> str:
    """A share below one in whole percent, never rounded up to all of it."""
    return percent(share) if percent(share) != percent(1) else "over 99 %"


def percent(share: Fraction | float) -> str:
    """A share in whole percent."""
    return f"{100 * float(share):.0f} %"

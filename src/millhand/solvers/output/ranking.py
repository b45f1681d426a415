"""Which of several concepts can still be the best after a given number of replications under common random numbers.

Multiple comparisons with the best. Of the many differences between concepts only those to the unknown best one count,
one less than there are concepts, each looked at from one side (hsu1984). Bonferroni's inequality needs no word about
how the concepts hang together, so it holds under common random numbers, and it is the paired differences that are
narrow there (nelsonmatejcik1995). The same event carries the set, the intervals and the statement about the choice;
docs/decisions/0201-which-concept-is-best.md has the proof.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from millhand.formulas.statistics import mean_half_width, replications_for_half_width
from millhand.model.performance import Figure
from millhand.solvers.output.interval import LEVEL

Values = Mapping[str, Sequence[float]]  # concept: one value a replication, greater is better


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How far the ranking is settled; all its statements hold together with a chance of at least `chance`."""

    best: str  # greatest mean
    may_be_best: tuple[str, ...]  # the best concept is among these
    against_best: Mapping[str, Figure]  # a concept's mean less the best of the others', with its interval
    chance: float
    indifference: float
    settled: bool  # the greatest mean's concept is the best, or worse than it by no more than the indifference zone
    more: int | None  # further replications that would settle it, if things go on so; None: no number would
    statement: str


def standing(values: Values, *, indifference: float, level: float = LEVEL) -> Standing:
    """Which concepts can still be best, how each stands against the best of the others, and what is lacking.

    Valid for nearly normal values, two or more a concept, looked at once. Looking again after more replications and
    stopping when it pleases is another procedure: selection.py has the one that allows for it.
    """
    names = list(values)
    count = {len(own) for own in values.values()}
    if not names or len(count) != 1 or min(count) < 2:
        raise ValueError("each concept needs the same number of replications, two or more")
    means = {name: math.fsum(own) / len(own) for name, own in values.items()}
    best = max(names, key=means.__getitem__)  # of equal ones the first
    widths = _half_widths(values, level=level)
    left = tuple(a for a in names if all(means[a] >= means[b] - widths[a, b] for b in names if b != a))
    against = {a: _against_best(a, means, widths, left) for a in names if len(names) > 1}
    settled = len(names) == 1 or against[best].low >= -indifference
    return Standing(
        best=best,
        may_be_best=left,
        against_best=against,
        chance=level,
        indifference=indifference,
        settled=settled,
        more=0 if settled else _more(values, best, left, indifference=indifference, level=level),
        statement=_statement(best, left, settled=settled),
    )


def one_sided(level: float, *, concepts: int) -> float:
    """The two-sided level whose upper quantile is that of one of the one-sided comparisons with the best."""
    return 1.0 - 2.0 * (1.0 - level) / (concepts - 1)


def _half_widths(values: Values, *, level: float) -> dict[tuple[str, str], float]:
    """What each paired difference may be off, so that all those to the best hold together."""
    if len(values) == 1:
        return {}
    each = one_sided(level, concepts=len(values))
    return {
        (a, b): mean_half_width(_differences(values, a, b), confidence=each) for a in values for b in values if a != b
    }


def _differences(values: Values, a: str, b: str) -> list[float]:
    """a less b, replication by replication."""
    return [x - y for x, y in zip(values[a], values[b], strict=True)]


def _against_best(
    name: str, means: Mapping[str, float], widths: Mapping[tuple[str, str], float], left: tuple[str, ...]
) -> Figure:
    """One concept against the best of the others: below nothing for all but the best, and never wholly beside it.

    Upper end: what its least favourable pair allows. Lower end: what those that may be best allow; nothing for the
    only one left (hsu1984).
    """
    mean = min(means[name] - means[other] for other in means if other != name)
    high = min(means[name] - means[other] + widths[name, other] for other in means if other != name)
    rivals = [means[name] - means[other] - widths[name, other] for other in left if other != name]
    return Figure(mean=mean, low=min(0.0, min(rivals, default=0.0)), high=max(0.0, high))


def _more(values: Values, best: str, left: tuple[str, ...], *, indifference: float, level: float) -> int | None:
    """Replications that bring each rival's half width below its gap plus the indifference zone."""
    have = len(values[best])
    need = have
    for rival in left:
        if rival == best:
            continue
        differences = _differences(values, best, rival)
        room = math.fsum(differences) / have + indifference
        if room <= 0.0:
            return None
        each = one_sided(level, concepts=len(values))
        need = max(need, replications_for_half_width(differences, half_width=room, confidence=each))
    return need - have


def _statement(best: str, left: tuple[str, ...], *, settled: bool) -> str:
    """What holds with the stated chance, in words."""
    if len(left) == 1:
        return f"the best is {best}"
    among = f"the best is among {', '.join(left)}"
    return f"{among}, and {best} is it or is worse by no more than the indifference zone" if settled else among

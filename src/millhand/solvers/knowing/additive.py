"""A figure as a sum of curves, one for each uncertain number: the part of its draws that each number tells alone.

Each curve is a straight line and a bend in the number itself. Terms are taken in one by one, the one that tells most
first, as long as it tells more than chance would (the extended Bayesian criterion of Chen and Chen, 2008, from memory,
not re-read). What is left is what numbers do only together, and so are their joint effects.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
BENDS = 2  # a line and a parabola
SMALL = 1e-9  # share of a term's length below which it holds nothing that the others do not


@dataclass(frozen=True, slots=True, kw_only=True)
class Curves:
    """A figure over its draws: mean, one curve a number that tells something, and what is left."""

    mean: float
    parts: dict[int, Floats]  # number of the column: its curve at each draw, mean nought
    rest: Floats  # one a draw
    terms_n: int


def terms_of(columns: Floats) -> Floats:
    """Line and parabola of each column over the draws: mean nought, length 1, at right angles; nought where constant.

    Columns are draws by numbers; back come draws by numbers by bends.
    """
    found = np.zeros((*columns.shape, BENDS))
    for number in range(columns.shape[1]):
        line = _unit(columns[:, number] - columns[:, number].mean(), columns[:, number])
        bend = line * line
        bend = bend - bend.mean() - line * np.einsum("i,i", bend, line)
        found[:, number, 0], found[:, number, 1] = line, _unit(bend, line)
    return found


def _unit(term: Floats, of: Floats) -> Floats:
    """A term at length 1; nought where it is none but for rounding."""
    length = math.sqrt(np.einsum("i,i", term, term))
    whole = math.sqrt(np.einsum("i,i", of, of))
    return term / length if length > SMALL * max(whole, 1e-300) else np.zeros_like(term)


def curves(figure: Floats, terms: Floats) -> Curves:
    """The figure as a sum of curves of the terms that tell something."""
    count, numbers, bends = terms.shape
    flat = terms.reshape(count, numbers * bends)
    mean = float(figure.mean())
    chosen = chosen_terms(figure - mean, flat)
    parts = _parts(flat, chosen, figure - mean, bends)
    rest = figure - mean - sum(parts.values(), np.zeros(count))
    return Curves(mean=mean, parts=parts, rest=rest, terms_n=len(chosen))


def chosen_terms(figure: Floats, flat: Floats) -> list[int]:
    """The terms that tell something of a figure, the one that tells most first; figure and terms have no mean."""
    rest = figure
    lengths = np.sqrt(np.einsum("ij,ij->j", flat, flat))
    lengths = np.where(lengths > 0.0, lengths, 1.0)
    least = SMALL * SMALL * float(np.einsum("i,i", rest, rest))  # what is left then is rounding
    chosen: list[int] = []
    straight: list[Floats] = []  # the chosen terms, made to stand at right angles
    while len(chosen) < len(figure) // 4:
        pulls = np.abs(np.einsum("ij,i->j", flat, rest)) / lengths
        pulls[chosen] = 0.0
        best = int(np.argmax(pulls))
        term = flat[:, best].copy()
        for other in straight:
            term -= other * np.einsum("i,i", term, other)
        term = _unit(term, flat[:, best])
        pull = float(np.einsum("i,i", term, rest))
        if float(np.einsum("i,i", rest, rest)) <= least or not _tells(pull, rest, terms=flat.shape[1]):
            break
        chosen.append(best)
        straight.append(term)
        rest = rest - pull * term
    return chosen


def _tells(pull: float, rest: Floats, *, terms: int) -> bool:
    """Whether a term takes more out of the rest than the best of so many would by chance."""
    count = len(rest)
    before = float(np.einsum("i,i", rest, rest))
    after = before - pull * pull
    return after <= 0.0 or count * math.log(before / after) > math.log(count) + 2.0 * math.log(max(terms, 1))


def _parts(flat: Floats, chosen: list[int], figure: Floats, bends: int) -> dict[int, Floats]:
    """The curve of each number: its chosen terms with their weights."""
    if not chosen:
        return {}
    weights = np.linalg.lstsq(flat[:, chosen], figure, rcond=None)[0]
    parts: dict[int, Floats] = {}
    for place, term in enumerate(chosen):
        number = term // bends
        parts[number] = parts.get(number, np.zeros(len(flat))) + float(weights[place]) * flat[:, term]
    return parts

"""A chain of errors from pocket to chuck, against what the chuck, vise or nest catches."""

from collections.abc import Sequence
from dataclasses import dataclass

from millhand.formulas.placing import placing_margin_m, root_sum_square_m, worst_case_m


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """One error of a chain, +/- so much in the direction that counts."""

    name: str
    half_range_m: float
    taken_out: bool = False  # a step on the way sets it to nothing, as the jaws' centring does the play in the pocket


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """What a chain adds up to, both ways, the margins left, and its greatest link."""

    worst_m: float
    likely_m: float  # root sum of squares
    worst_margin_m: float
    likely_margin_m: float
    greatest: str


def chain_of(links: Sequence[Link], *, catch_m: float) -> Chain:
    """Worst case and root sum of squares of the links that are not taken out, with the margins to what is caught."""
    counted = [link for link in links if not link.taken_out]
    sizes = [abs(link.half_range_m) for link in counted]
    worst_m, likely_m = worst_case_m(sizes), root_sum_square_m(sizes)
    greatest = max(counted, key=lambda link: abs(link.half_range_m), default=None)
    return Chain(
        worst_m=worst_m,
        likely_m=likely_m,
        worst_margin_m=placing_margin_m(catch_m, error_m=worst_m),
        likely_margin_m=placing_margin_m(catch_m, error_m=likely_m),
        greatest=greatest.name if greatest else "",
    )

"""Figures that go together, as an inquiry tells them: read, and held against what figures there are."""

from collections.abc import Iterator

from millhand.errors import InputError
from millhand.formulas.correlation import largest_share, matrix, triangle
from millhand.intake.cell_fields import nearest
from millhand.intake.form_correlations import CORRELATIONS
from millhand.intake.inquiry_groups import Spot, entries_at, spots_of
from millhand.intake.inquiry_opened import Opened
from millhand.model.fact import Fact
from millhand.model.inquiry import Correlation, Inquiry
from millhand.model.walk import facts_in

CATALOGUE = "catalogue."  # such names are looked up when the study has its catalogue


def correlations_of(top: Spot, opened: Opened) -> tuple[Correlation, ...]:
    """Every pair that can be read."""
    found = [entries_at(CORRELATIONS.entries, spot, opened) for _, spot in spots_of(CORRELATIONS, top, opened)]
    return tuple(Correlation(**each) for each in found if each["of"] and each["other"] and each["rank"] is not None)


def wrong_correlations(inquiry: Inquiry) -> Iterator[InputError]:
    """Names of no figure, figures without a range, a pair twice; then ranks that no figures can have at once."""
    facts = {fact.id: fact for fact in facts_in(inquiry) if isinstance(fact, Fact)}
    pairs: dict[tuple[str, str], float] = {}
    alone: list[InputError] = []
    for each in inquiry.correlations:
        alone += _wrong_names(each, facts)
        key = (min(each.of, each.other), max(each.of, each.other))
        if key in pairs:
            alone.append(_error(each, f"{each.of} with {each.other} again", "one rank for two figures", "pair_twice"))
        pairs[key] = each.rank.value
    yield from alone
    if not alone and pairs:
        yield from _impossible(inquiry.correlations, pairs)


def _wrong_names(each: Correlation, facts: dict[str, Fact]) -> Iterator[InputError]:
    """What is wrong with the two figures of one pair."""
    if each.of == each.other:
        yield _error(each, f"{each.of} with itself", "the paths of two figures", "pair_of_one")
        return
    for name in (each.of, each.other):
        fact = facts.get(name)
        if fact is None and not name.startswith(CATALOGUE):
            known = sorted(fact_id for fact_id, known in facts.items() if known.low is not None)
            write = f"the path of a figure{nearest(name, known) or ', such as people.wage'}"
            yield _error(each, name, write, "unknown_path")
        elif fact is not None and (fact.low is None or fact.high is None):
            write = f"a range for {name}, such as 28 USD/h (25 to 31), or no correlation of it: it is exact"
            yield _error(each, f"{name} without a range", write, "pair_of_exact")


def _impossible(told: tuple[Correlation, ...], pairs: dict[tuple[str, str], float]) -> Iterator[InputError]:
    """Ranks that contradict each other: what goes with the same thing goes together to some degree."""
    names = sorted({name for pair in pairs for name in pair})
    if triangle(matrix(names, pairs)) is not None:
        return
    share = largest_share(names, pairs)
    write = (
        f"ranks that figures can have at once: a rank for each pair of these, or each rank times {share:g}; what goes "
        "with the same figure goes together too"
    )
    yield _error(told[0], f"correlations of {', '.join(names)}", write, "correlations_impossible")


def _error(each: Correlation, read: str, write: str, code: str) -> InputError:
    """One error, where the rank of the pair stands."""
    return InputError(each.rank.source, read, write, code)

"""The public Python interface in three calls: load an inquiry, study it, take a table out of it."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

from millhand.beside import with_ways_by_hand
from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.errors import ToolError
from millhand.intake.inquiry import read_inquiry
from millhand.model.canonical import plain
from millhand.model.inquiry import Inquiry
from millhand.model.study import Study
from millhand.part_mix import with_part_mix
from millhand.safeguarding import with_safeguarding
from millhand.study import study as whole_study

if TYPE_CHECKING:
    from collections.abc import Mapping

TABLES = ("facts", "results", "ranking", "cash")


def load(path: str | Path) -> Inquiry:
    """The inquiry in a YAML file, its gaps filled by assumptions; InputErrors with every error where it is wrong."""
    return read_inquiry(Path(path), assumptions())


def study(inquiry: Inquiry, *, seed: int = 1) -> Study:
    """The whole study of an inquiry with the built-in catalogue, in this process."""
    catalogue = read_catalogue()
    found = with_ways_by_hand(whole_study(inquiry, catalogue, seed=seed), inquiry, catalogue)
    return with_part_mix(with_safeguarding(found, inquiry, catalogue), inquiry, catalogue)


def rows(done: Study, table: str) -> list[dict[str, Any]]:
    """One table of a study as a list of rows: facts, results, ranking or cash."""
    if table not in TABLES:
        raise ToolError(f"a study has no table {table!r}; it has {', '.join(TABLES)}")
    if table == "facts":
        return [dict(plain(fact)) for fact in done.facts.values()]
    if table == "ranking":
        return [dict(plain(each)) for each in done.decision.ranking]
    if table == "results":
        return [_result(done.facts, each.concept.id, each.performance, each.case) for each in done.results]
    return [
        {"concept": each.concept.id, "period": period, **{line.id: line.by_period[place] for line in each.case.lines}}
        for each in done.results
        if each.case is not None
        for place, period in enumerate(each.case.periods)
    ]


def _result(facts: "Mapping[str, Any]", concept: str, performance: Any, case: Any) -> dict[str, Any]:
    """The figures of one concept by name; what it has no figure for is None."""

    def value(record: Any, name: str) -> float | None:
        fact_id = getattr(record, name, None)
        return facts[fact_id].value if fact_id else None

    return {
        "concept": concept,
        **{name: value(performance, name) for name in ("parts_per_shift", "parts_per_y", "operator_h_per_y")},
        **{name: value(case, name) for name in ("payback_months", "npv", "irr", "hurdle_chance")},
    }


def frame(done: Study, table: str = "results") -> Any:
    """One table of a study as a data frame; needs pandas, which this project does not install by itself."""
    try:
        import pandas as pd  # type: ignore[import-untyped]
    except ImportError as lost:
        raise ToolError("data frames need pandas: install it, or use millhand.rows(study, table)") from lost
    return pd.DataFrame(rows(done, table))

"""Better by hand for every face: which changes are shown, what they are called, what is left out and why."""

from millhand.model.concept import BY_HAND
from millhand.model.study import Study
from millhand.report.comparison import Row, living, result_of

__all__ = ["MOST", "SIMULATED", "left_out", "result_of", "rows", "short"]

MOST = 8  # changes with all their figures
SIMULATED = (
    "Each is the cell of today with these changes, simulated under the same chance. What an assumption rests on is not "
    "known yet: the question after it replaces it."
)


def rows(study: Study) -> tuple[Row, ...]:
    """The changes that can be made, by place."""
    return tuple(row for row in living(study) if row.kind == "by hand")


def short(row: Row) -> str:
    """What a change is called under a heading that says already that it is by hand."""
    return row.title.removeprefix("by hand: ")


def left_out(study: Study) -> list[str]:
    """The changes that do not apply, those for the same reason together."""
    found: dict[str, list[str]] = {}
    for each in study.dropped:
        if each.choices.startswith(BY_HAND):
            found.setdefault(each.words, []).append(each.choices.removeprefix(BY_HAND).replace("_", " "))
    return [f"{', '.join(names)} ({words.removeprefix('is ')})" for words, names in found.items()]

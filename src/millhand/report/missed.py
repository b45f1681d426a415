"""Where no cell can work: the one that comes nearest, with what fails, so that a reader sees what is missing."""

from millhand.model.study import Result, Study
from millhand.model.verdict import Verdict
from millhand.report.cycle import cell_of

RULE = "No cell can work here. Drawn is the one that comes nearest. It does not work:"
STAMP = "does not work"


def nearest_miss(study: Study) -> Result | None:
    """Of cells that were placed and fell, the one whose worst failed check that ends it lacks least; None where some
    cell works, or none was placed."""
    if cell_of(study) is not None:
        return None
    placed = [each for each in study.results if each.layout is not None and each.layout.drawn is not None]
    fell = [each for each in placed if each.concept.kind == "cell" and failing(each)]
    return max(fell, key=lambda each: (least(study, each), -len(failing(each))), default=None)


def failing(result: Result) -> tuple[Verdict, ...]:
    """The failed checks that end a concept."""
    return tuple(each for each in result.verdicts if each.kills and not each.holds)


def least(study: Study, result: Result) -> float:
    """The margin of the worst of them."""
    return min(study.facts[each.margin].value for each in failing(result))

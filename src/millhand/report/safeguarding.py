"""Safeguarding compared, in words: the same in the terminal and on the page."""

from itertools import groupby

from millhand.formulas import guarding
from millhand.model.fact import Fact
from millhand.model.safeguarding import Guarded, GuardedCell, Safeguarding
from millhand.model.safety import HazardAt
from millhand.model.study import Study

NEAR = {
    "stop": "stands while somebody is inside",
    "slow": "slows down while somebody is inside",
    "touch": "never faster than it may touch",
}
RULE = (
    "Each way is the whole cell again: layout, price, weeks simulated under the same chance, output and payback. While "
    "nobody is near the arm moves at its own speed; what it does near people happens inside the simulation: behind a "
    "gate, a curtain or a stop field it stands while somebody works at a machine, as in the ranking. What the slow "
    "field of a scanner costs or saves is counted here alone, so that its parts an hour may differ a little from those "
    "of the comparison. Without a guard it works on beside people, slowly."
)
SPEED_RULE = (
    "The greatest speed at which this arm, with gripper and parts, may meet a region that can draw back, from a free "
    "impact. Skull and face may not be met at all. Points, edges and clamping ask for less, and force and pressure are "
    "measured on the real cell."
)
LEVEL_RULE = (
    "Performance level that the risk graph asks of the function, from severity, frequency and avoidance as judged "
    "here; robot systems are usually asked for the level d unless the risk assessment says otherwise."
)
FLOOR_RULE = (
    "Floor: with a curtain the side in front keeps the curtain's distance, with a scanner that must stop the arm the "
    "depth of the stop field."
)
LIST_RULE = "A start for the risk assessment, not its result: what is missing here is not thereby absent from the cell."
CAUTION = guarding.CAUTION
NO_FIT, OUT = "does not fit", "contact ruled out"


def letter(fact: Fact) -> str:
    """A performance level as it is written."""
    return guarding.LEVELS[round(fact.value) - 1]


def heading(study: Study, cell: GuardedCell) -> str:
    """What a cell stands for."""
    chosen = study.safeguarding is not None and study.safeguarding.recommended == cell.concept
    return "recommended" if chosen else f"best with a {cell.arm_class.replace('_', '-')} arm"


def verdict(row: Guarded) -> str:
    """Whether a way fits at all, and whether contact is ruled out for it."""
    return NO_FIT if row.misfit else OUT if row.ruled_out else ""


def functions(safeguarding: Safeguarding) -> tuple[Guarded, ...]:
    """One row of each way that fits anywhere: what its function does and how it was judged."""
    rows = [row for cell in safeguarding.cells for row in cell.rows if not row.misfit]
    return tuple({row.choice: row for row in reversed(rows)}[name] for name in dict.fromkeys(r.choice for r in rows))


def by_task(hazards: tuple[HazardAt, ...]) -> list[tuple[str, list[HazardAt]]]:
    """The hazards of each task, in the order of the list."""
    return [(task, list(rows)) for task, rows in groupby(hazards, key=lambda each: each.task)]


def region_words(name: str) -> str:
    """A body region's name.

    >>> region_words("upper_arm_elbow"), region_words("chest")
    ('upper arm, elbow', 'chest')
    """
    return {
        "skull_forehead": "skull, forehead", "back_shoulders": "back, shoulders", "hand_finger": "hand, finger",
        "upper_arm_elbow": "upper arm, elbow", "lower_arm_wrist": "lower arm, wrist", "thigh_knee": "thigh, knee",
    }.get(name, name.replace("_", " "))  # fmt: skip

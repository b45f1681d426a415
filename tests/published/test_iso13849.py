"""iso13849_1: the performance level that the risk graph asks for, branch by branch."""

import pytest

from millhand.formulas.guarding import LEVELS, required_level
from tests.checks import MEMORY, Check, assert_holds

KEY = "iso13849_1"
GRAPH = {"111": "a", "112": "b", "121": "b", "122": "c", "211": "c", "212": "d", "221": "d", "222": "e"}


def branch(judged: str, letter: str) -> Check:
    """One branch of the graph, its letter as the place in the alphabet."""
    inputs = dict(zip(("severity", "frequency", "avoidance"), map(float, judged), strict=True))
    return Check(
        formula="required_level", inputs=inputs, printed=str(LEVELS.index(letter) + 1), exact=True, key=KEY, seen=MEMORY
    )


def often(judged: float, share: float, calls_per_h: float, printed: str) -> Check:
    """F by the hours and the calls with somebody there half of the time."""
    inputs = {"judged": judged, "share": share, "calls_per_h": calls_per_h, "there_share": 0.5}
    return Check(formula="counted_frequency", inputs=inputs, printed=printed, exact=True, key=KEY, seen=MEMORY)


CHECKS = [
    *(branch(judged, letter) for judged, letter in GRAPH.items()),
    often(1.0, 0.05, 2.0, "1"),
    often(1.0, 0.051, 0.0, "2"),
    often(1.0, 0.0, 2.01, "2"),
    often(2.0, 0.0, 0.0, "2"),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_a_branch_of_the_risk_graph(check: Check) -> None:
    """Each branch ends at its letter; F is the higher of two beyond a twentieth or a quarter of an hour."""
    assert_holds(check)


@pytest.mark.parametrize("key", ["severity", "frequency", "avoidance"])
def test_a_worse_judgement_never_asks_for_less(key: str) -> None:
    """From 1 to 2 in one question the level rises or stays, whatever the other two are."""
    others = [name for name in ("severity", "frequency", "avoidance") if name != key]
    for first in (1.0, 2.0):
        for second in (1.0, 2.0):
            kept = {others[0]: first, others[1]: second}
            assert required_level(**kept, **{key: 2.0}) >= required_level(**kept, **{key: 1.0})


def test_the_graph_knows_no_half_answers() -> None:
    """Anything but 1 and 2 is refused."""
    with pytest.raises(ValueError, match="1 and 2 only"):
        required_level(1.5, frequency=1.0, avoidance=1.0)

"""How far a study is, and how long it takes yet: from its own steps, told one by one."""

import pytest

from millhand.web.pace import SHARES, Far, Pace, left_words, step_words
from millhand.web.pages import ago


def test_progress_says_its_step_and_how_long_it_has_taken() -> None:
    """In words; a step that is none of the usual ones by its own name."""
    assert step_words("simulation") == f"simulating weeks of work (step 3 of {len(SHARES)})"
    assert (step_words("compiling"), step_words("sweep")) == ("compiling the simulation", "sweep")
    assert step_words("") == "reading the inquiry"
    assert ago("2999-01-01T00:00:00Z") == "0 s"


def test_the_shares_of_all_steps_are_the_whole() -> None:
    """So that the last one ends at all of it."""
    assert sum(share for _, share in SHARES.values()) == pytest.approx(1.0)


def test_what_is_left_follows_the_steps_done_so_far() -> None:
    """Twice as slow up to the same step is twice as long from there; nothing is said before something is done."""
    quick, slow = Pace(began=0.0), Pace(began=0.0)
    quick.tell("concepts", 1, 100, 1.0)
    assert quick.far(1.0).left_s is None
    assert "as soon as the first steps are done" in left_words(quick.far(1.0))
    for pace, at in ((quick, 60.0), (slow, 120.0)):
        pace.tell("short runs", 0, 24, at)
    first, second = quick.far(60.0), slow.far(120.0)
    assert first.left_s is not None
    assert second.left_s is not None
    assert first.share == pytest.approx(0.34)
    assert first.left_s == pytest.approx(60.0 * 0.66 / 0.34)
    assert second.left_s == pytest.approx(2 * first.left_s)
    assert left_words(second) == "About 3 to 6 minutes more, as it goes now."


@pytest.mark.parametrize(
    ("left_s", "words"),
    [
        (30.0, "Less than a minute more"),
        (59.0, "About half a minute to 2 minutes more"),
        (90.0, "About 1 to 3 minutes"),
    ],
)
def test_what_is_said_holds_from_and_to(left_s: float, words: str) -> None:
    """From seven tenths to half as much again of what is reckoned lies in the words, down to the last minute."""
    far = Far("", 0, 0, 0.0, 0.5, left_s)
    assert left_words(far).startswith(words)


def test_a_step_within_another_gives_way_to_it_once_it_is_done() -> None:
    """Compiling 12 of 12 does not stand there while the first weeks are simulated; time goes on meanwhile."""
    pace = Pace(began=0.0)
    pace.tell("simulation", 0, 12, 10.0)
    pace.tell("compiling", 3, 12, 12.0)
    assert pace.far(15.0)[:4] == ("compiling the simulation", 3, 12, 3.0)
    pace.tell("compiling", 12, 12, 40.0)
    far = pace.far(47.0)
    assert far[:4] == (step_words("simulation"), 0, 12, 7.0)


def test_rounds_of_a_step_never_go_back() -> None:
    """Each round of simulations fills half of what was left of that step."""
    pace, seen = Pace(began=0.0), []
    for done in (0, 6, 12, 0, 2, 4, 0, 4):
        pace.tell("simulation", done, 12 if len(seen) < 3 else 4, 1.0)
        seen.append(pace.share())
    assert seen == sorted(seen)
    pace.tell("short runs", 0, 24, 2.0)
    assert pace.share() > seen[-1]

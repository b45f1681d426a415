"""What a schedule says in words, line by line."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from millhand.cli.schedule_words import pace_words, proof_words, schedule_words, without_words
from millhand.intake.cell import read_cell
from millhand.solvers.cycle.setters import Pace, Setter
from millhand.solvers.cycle.simple import schedule
from tests.solvers.cycle.test_validate_lots import SOUND, lots

CELLS = Path("examples/cells")


def said(name: str) -> dict[str, str]:
    """Each label with its words, lines joined."""
    cell = read_cell(CELLS / f"{name}.json")
    found: dict[str, str] = {}
    label = ""
    for line in schedule_words(cell, schedule(cell)):
        assert len(line) <= 80
        label = line[:17].strip() or label
        found[label] = f"{found.get(label, '')} {line[17:]}".strip()
    return found


def test_three_equal_machines_are_named_together_and_the_arm_after_them() -> None:
    """By its order of visits the arm needs more than by its load alone: both are said."""
    words = said("three_machines_on_a_track")

    assert words["pace"] == "set by m1, m2 and m3 (machines)"
    assert words["next"] == (
        "arm at 132.2 s, 91 % of the cycle: with the same order of visits, m1, m2 and m3 becoming quicker wins 4.1 s a "
        "part at most (its load alone is 114.45 s, 79 %: another order could win more)"
    )


def test_a_second_one_within_five_percent_is_named_with_its_share() -> None:
    """70 s of 72 s."""
    assert said("published_two_grippers_b")["pace"] == "set by m1 (machine), and nearly as much by arm at 97 %"


def setter(name: str, kind: str, period_steps: int) -> Setter:
    """One that needs so much of a period of 1000 steps."""
    return Setter(name=name, kind=kind, period_steps=Fraction(period_steps), beside=())


def test_several_within_five_percent_make_one_sentence() -> None:
    """Each share is told once, for all that have it; what is not quite as much is never called all of it."""
    machines = [setter("m1", "machine", 1000), setter("m3", "machine", 999), setter("m2", "machine", 996)]
    arms = [setter("right", "arm", 972), setter("left", "arm", 968), setter("desk", "store", 951)]

    assert pace_words(Pace(setters=(*machines, *arms), following=None)) == (
        "set by m1 (machine), and nearly as much by m2 and m3 (machines) at over 99 %, then left and right (arms) at "
        "97 %, then desk (store) at 95 %"
    )


def test_a_circuit_of_several_names_whom_it_waits_for() -> None:
    """The hoist's circuit passes four tanks."""
    words = said("phillips_unger_1976")

    assert words["pace"] == "set by hoist (arm); on the way round the circuit waits for s4, s7, s5 and s12 too"
    assert words["proof"] == (
        "proven to be the best of its kind; one of another kind, as with more parts a period, could be shorter a part "
        "by 28.2 % at most"
    )


def test_without_a_proof_the_gap_to_what_is_known_is_told() -> None:
    """153 s in the order of the cell; the load bound is 92 s."""
    words = said("published_two_machines_c_s1")

    assert words["proof"] == (
        "not proven to be the best; nothing can be shorter than 92 s, so at most 39.9 % could be won"
    )


@pytest.mark.parametrize(
    ("least", "words"), [(0, "not proven to be the best"), (150_000, "at most 1.96 % could be won")]
)
def test_the_best_bound_known_decides_the_gap(least: int, words: str) -> None:
    """A search that knows more than the loads says so in `least_steps`."""
    plan = replace(schedule(read_cell(CELLS / "published_two_machines_c_s1.json")), least_steps=least)

    assert proof_words(plan).endswith(words)


def test_lots_have_an_end_and_no_pace() -> None:
    """With the goal makespan the last part's time is told, and no circuit sets a pace."""
    cell = read_cell(CELLS / "published_two_machines_c_s1.json")
    lines = list(schedule_words(cell, replace(schedule(cell), goal="makespan")))

    assert lines[0] == "last part out    153 s for 1 part"
    assert not any(line.startswith(("pace", "next", "gap")) for line in lines)


def test_what_holds_up_the_last_part_is_a_path() -> None:
    """Of lots that end no circuit closes: the path leads from the first event to the last."""
    lines = list(schedule_words(lots(), SOUND))

    assert lines[0] == "last part out    30 s for 2 parts"
    assert any(line.startswith("path             tied 30 s") for line in lines)


@pytest.mark.parametrize(
    ("left_out", "said"),
    [
        ((), ""),
        (("hours and breaks of op",), "; it is without hours and breaks of op: all listed below"),
        (
            ("stops of m1: their mean load is in the bound", "stops of m2: their mean load is in the bound",
             "gauge, visited by one flange in 25: its mean load is in the bound",
             "duty chips: its mean load is in the bound"),
            "; it is without duty chips, stops of m1 and m2 and gauge visited by one flange in 25: all listed below",
        ),
        (
            tuple(f"wear{number} of m" for number in range(6)),
            "; it is without wear0 of m, wear1 of m, wear2 of m, wear3 of m and 2 more: all listed below",
        ),
    ],
)  # fmt: skip
def test_a_proof_names_in_the_same_breath_what_it_does_not_speak_of(left_out: tuple[str, ...], said: str) -> None:
    """A proof is read as if it were of the whole cell; duties come first."""
    assert without_words(left_out) == said


def test_the_proof_of_a_cell_with_faults_and_duties_says_so() -> None:
    """The words stand behind the proof, not only below the chart."""
    proof = said("one_operator_two_mills")["proof"]

    assert "; it is without duty deburr, duty gauge, duty called_away, stops of mill1 and mill2 and 4 more:" in proof

"""How a run alone ends: closed forms against integrals, against sums over all courses, and against drawn runs."""

import math
import random
from collections.abc import Sequence

import pytest
from scipy.integrate import quad

from millhand.formulas.unattended import (
    expected_alone_h,
    expected_parts_with_spares,
    expected_unattended_parts,
    first_fault_shares,
    first_stop_shares,
    stop_share_of_part,
)
from millhand.solvers.output.first_stop import Cause, first_ends, parts_against_presenter
from tests.checks import OWN, Check, assert_holds

STOPS = (0.05, 0.2, 0.01)  # an hour
FAULTS = (0.01, 0.004, 0.02)
RUNS = 20_000


def integral(until: float, *, factor: float = 1.0) -> float:
    """The integral of the chance that no stop has come yet, each stop's own chance multiplied."""
    value, _ = quad(lambda h: factor * math.prod(math.exp(-rate * h) for rate in STOPS), 0.0, until, epsrel=1e-12)
    return float(value)


def course(faults: Sequence[float], pockets: int) -> list[float]:
    """Part by part and cause by cause: the chance that each one ends the run, and last that none does."""
    ends, running = [0.0] * len(faults), 1.0
    for _ in range(pockets):
        for at, share in enumerate(faults):
            ends[at] += running * share
            running -= running * share
    return [*ends, running]


def parts_by_course(share: float, pockets: int, spares: int) -> float:
    """Mean of the parts finished, over the chances of having used so many spares, part by part."""
    used, parts = [1.0] + [0.0] * spares, 0.0
    for _ in range(pockets):
        parts += math.fsum(used) * (1.0 - share)
        used = [own * (1.0 - share) + before * share for own, before in zip(used, [0.0, *used[:-1]], strict=True)]
    return parts


def binomial(share: float, parts: int, most: int) -> float:
    """The chance of no more than so many events, term by term."""
    return math.fsum(math.comb(parts, j) * share**j * (1.0 - share) ** (parts - j) for j in range(most + 1))


def known(formula: str, inputs: dict[str, object], expected: float, *, at: int | None = None) -> Check:
    """A value of our own, of one element of a list where `at` says which."""
    pick = float if at is None else lambda result: float(result[at])
    return Check(formula=formula, inputs=inputs, expected=expected, key="own_computation", seen=OWN, pick=pick)


CHECKS = [
    known("mean_first_stop_h", {"stops_per_h": STOPS}, integral(math.inf)),
    known("no_stop_share", {"stops_per_h": STOPS, "alone_h": 8.0}, math.prod(math.exp(-8.0 * rate) for rate in STOPS)),
    known("expected_alone_h", {"stops_per_h": STOPS, "limit_h": 8.0}, integral(8.0)),
    known("expected_alone_h", {"stops_per_h": (), "limit_h": 8.0}, 8.0),
    known(
        "stop_share_of_part",
        {"stops_per_h": STOPS, "part_s": 360.0, "fault_share": 0.01},
        1.0 - 0.99 * math.prod(math.exp(-0.1 * rate) for rate in STOPS),
    ),
    *(
        known("first_stop_shares", {"stops_per_h": STOPS, "limit_h": 8.0}, integral(8.0, factor=rate), at=at)
        for at, rate in enumerate(STOPS)
    ),
    known("first_stop_shares", {"stops_per_h": STOPS, "limit_h": 8.0}, math.exp(-8.0 * sum(STOPS)), at=3),
    *(
        known("first_fault_shares", {"fault_shares": FAULTS, "pockets": 40}, course(FAULTS, 40)[at], at=at)
        for at in range(4)
    ),
    known("lost_pick_share", {"miss_share": 0.03, "retries": 2}, 0.03 * 0.03 * 0.03),
    known("spares_suffice_share", {"event_share": 0.02, "parts": 96, "spares": 2}, binomial(0.02, 96, 2)),
    known("spares_suffice_share", {"event_share": 0.02, "parts": 3, "spares": 5}, 1.0),
    known(
        "expected_parts_with_spares", {"event_share": 0.02, "pockets": 96, "spares": 2}, parts_by_course(0.02, 96, 2)
    ),
    known("expected_parts_with_spares", {"event_share": 0.02, "pockets": 3, "spares": 9}, 0.98 * 3),
    known("expected_parts_with_spares", {"event_share": 0.0, "pockets": 96, "spares": 2}, 96.0),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_closed_forms_by_a_second_way(check: Check) -> None:
    """Each figure agrees to nine digits."""
    assert_holds(check)


def test_without_spares_the_parts_are_those_until_the_first_fault() -> None:
    """The older formula is the case of no spare, also for faults so rare that sums would lose them."""
    for share in (1e-12, 1e-3, 0.2, 1.0):
        with_none = expected_parts_with_spares(share, pockets=40, spares=0)
        assert with_none == pytest.approx(expected_unattended_parts(share, pockets=40), rel=1e-9)


def test_part_by_part_gives_the_closed_forms() -> None:
    """Stops in time alone, faults of the part alone, and one cause with spares alone: the course agrees with each."""
    stops = [Cause(name=str(at), per_h=rate) for at, rate in enumerate(STOPS)]
    timed = first_ends([Cause(name="presenter", parts=96), *stops], part_s=300.0, alone_h=100.0)
    shares = first_stop_shares(STOPS, limit_h=8.0)
    assert [*list(timed.causes.values())[1:], timed.causes["presenter"]] == pytest.approx(shares)
    stopped = stop_share_of_part(STOPS, part_s=300.0, fault_share=0.0)
    assert timed.parts == pytest.approx(expected_unattended_parts(stopped, pockets=96))
    assert timed.hours == pytest.approx(expected_alone_h(STOPS, limit_h=8.0))

    fault = first_ends([Cause(name="miss", per_part=0.02)], part_s=60.0, alone_h=1.0)
    assert [fault.causes["miss"], fault.nothing] == pytest.approx(first_fault_shares([0.02], pockets=60))

    spared = first_ends([Cause(name="miss", per_part=0.02, spares=2)], part_s=60.0, alone_h=1.0)
    assert spared.parts == pytest.approx(expected_parts_with_spares(0.02, pockets=60, spares=2))
    assert spared.nothing == pytest.approx(binomial(0.02, 60, 2))


CAUSES = (
    Cause(name="presenter", parts=60),
    Cause(name="outfeed", parts=72),
    Cause(name="tool", parts=25, per_part=0.01, spares=1),
    Cause(name="miss", per_part=0.004),
    Cause(name="coolant", hours=9.0),
    Cause(name="stop", per_h=0.1),
)


def drawn(chance: random.Random, part_s: float) -> tuple[str, int]:
    """One run, each cause striking at its own moment within the part: who ends it, and how many parts are finished."""
    breaks = finished = 0
    for _ in range(50):  # the least limit: two tools of 25 parts
        strikes = [
            (chance.expovariate(-math.log1p(-0.004)), "miss"),
            (chance.expovariate(0.1 * part_s / 3600.0), "stop"),
        ]
        broken = chance.expovariate(-math.log1p(-0.01))
        if broken < 1.0 and breaks == 1:
            strikes.append((broken, "tool"))
        moment, name = min(strikes)
        if moment < 1.0:
            return name, finished
        breaks += broken < 1.0
        finished += broken >= 1.0
    return "tool", finished


def test_part_by_part_gives_what_drawn_runs_give() -> None:
    """Tools with a sister tool, mis-picks, stops and limits together.

    Four numbers are held against draws at once, each within three and a half of its standard errors.
    """
    chance = random.Random(4)
    runs = [drawn(chance, 480.0) for _ in range(RUNS)]
    ends = first_ends(CAUSES, part_s=480.0, alone_h=24.0)

    assert math.fsum(ends.causes.values()) + ends.nothing == pytest.approx(1.0, abs=1e-12)
    for name in ("tool", "miss", "stop"):
        share = sum(who == name for who, _ in runs) / RUNS
        error = math.sqrt(share * (1.0 - share) / RUNS)
        assert abs(ends.causes[name] - share) <= 3.5 * error, name
    mean = math.fsum(parts for _, parts in runs) / RUNS
    error = math.sqrt(math.fsum((parts - mean) ** 2 for _, parts in runs)) / RUNS
    assert abs(ends.parts - mean) <= 3.5 * error


def test_a_larger_presenter_brings_less_and_less() -> None:
    """Parts against size follow the truncated geometric sum, and flatten at the least of the other limits."""
    causes = [Cause(name="outfeed", parts=72), Cause(name="miss", per_part=0.01)]

    curve = parts_against_presenter(causes, sizes=(24, 48, 72, 96), part_s=100.0, alone_h=24.0)

    assert curve[:3] == pytest.approx([expected_unattended_parts(0.01, pockets=size) for size in (24, 48, 72)])
    assert curve[3] == curve[2]

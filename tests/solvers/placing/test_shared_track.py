"""Two arms on one track: what each serves, where presenter and outfeed lie, and where one waits for the other."""

import pytest

from millhand.solvers.placing.shared_track import AIR_M, PARKED, halves, parked, serves, shared, waits_as
from millhand.solvers.placing.site import Foot, Pair

KEEP_M = 2.0
ROW: dict[str, Foot] = {f"machine_{n}": (3.0 * n, -1.0, 0.7, 0.0) for n in (1, 2, 3)}
WAYS = ("own", "feed", "free")


def places(way: str, number: int = 0) -> dict[str, Foot]:
    """The first places of the first group, or of another one."""
    return list(shared(Pair(way=way, keep_m=KEEP_M), ROW, 0, (0.5, 1.0)))[number][0]


def test_the_larger_half_comes_first() -> None:
    """Three machines are two and one, in their order along the track whatever their names."""
    turned = {"a": ROW["machine_3"], "b": ROW["machine_1"], "c": ROW["machine_2"]}

    assert halves(turned, 0) == (("b", "c"), ("a",))


def test_presenter_and_outfeed_lie_between_or_at_the_ends() -> None:
    """Opposite the gap between the halves; where one feeds and one takes out beyond the first and the last machine, and
    the other way round as well."""
    for way in ("own", "free"):
        assert places(way)["presenter"] == places(way)["outfeed"] == (7.5, -1.0, 0.7, 0.0)
    assert (places("feed")["presenter"][0], places("feed")["outfeed"][0]) == (2.5, 9.5)
    assert (places("feed", 1)["presenter"][0], places("feed", 1)["outfeed"][0]) == (9.5, 2.5)


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("number", [0, 1])
def test_one_waits_where_the_other_may_be_anywhere(way: str, number: int) -> None:
    """From either parking place all that the other arm serves is at least so far as the carriages keep, on the far
    side; all that the own arm serves lies between; and no track is longer than that asks for."""
    if way != "feed" and number:
        return
    feet, pair = places(way, number), Pair(way=way, keep_m=KEEP_M)
    own, other = serves(pair, feet, 0)
    first, second = (feet[name][0] for name in PARKED)
    along = 1.0 if first < second else -1.0
    at = {name: along * foot[0] for name, foot in feet.items()}

    assert along == (-1.0 if number else 1.0)
    assert min(at[name] for name in other) - at[PARKED[0]] >= KEEP_M
    assert at[PARKED[1]] - max(at[name] for name in own) >= KEEP_M
    least = min(*(at[name] for name in own), min(at[name] for name in other) - KEEP_M - AIR_M)
    assert at[PARKED[0]] == pytest.approx(least)
    assert all(at[PARKED[0]] <= at[name] <= at[PARKED[1]] for name in feet)


def test_a_track_for_halves_is_shorter_than_one_for_arms_that_go_everywhere() -> None:
    """Arms with machines of their own have the other half to wait in; both free need room beyond both ends."""
    length = {way: abs(places(way)[PARKED[1]][0] - places(way)[PARKED[0]][0]) for way in WAYS}

    assert length["free"] == pytest.approx(6.0 + 2.0 * (KEEP_M + AIR_M))
    assert length["own"] == pytest.approx(7.5 + KEEP_M + AIR_M - 3.0)  # the second arm waits beyond the middle
    assert length["own"] < length["free"]


def test_the_hand_is_held_as_before_the_next_machine_that_there_is_a_way_into() -> None:
    """Of the machines with a way in the nearest; none where there is one arm."""
    feet = places("free")

    assert waits_as(feet, ("presenter", "machine_1", "machine_2")) == {PARKED[0]: "machine_1", PARKED[1]: "machine_2"}
    assert waits_as(feet, ("presenter",)) == {}
    assert waits_as(ROW, tuple(ROW)) == {}


def test_a_parked_place_moves_with_the_distance_alone() -> None:
    """A metre more of distance is a metre more of track at each end."""
    near = parked(Pair(way="free", keep_m=1.0), {**ROW, "presenter": ROW["machine_2"], "outfeed": ROW["machine_2"]}, 0)
    far = parked(Pair(way="free", keep_m=2.0), {**ROW, "presenter": ROW["machine_2"], "outfeed": ROW["machine_2"]}, 0)

    assert near[PARKED[0]][0] - far[PARKED[0]][0] == pytest.approx(1.0)
    assert far[PARKED[1]][0] - near[PARKED[1]][0] == pytest.approx(1.0)

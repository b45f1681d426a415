"""Lots in which much happens at one moment, or a part comes back to the machine that it was in: small cells whose least
times were found by hand, or by looking at every state of the cell second by second."""

from typing import Any

import pytest

from millhand.errors import InputError, NotYet
from millhand.intake.cell import cell_from
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.makespan import shortest_makespan

Form = dict[str, Any]


def cell(ways: list[list[int]], stations: Form, parts: dict[str, tuple[int, list[Form]]], **arms: Form) -> Form:
    """Places p0, p1 ... with these ways between them; stations by their places, parts by their number and their steps;
    each arm begins at p0 where it says nothing else. Handling takes no time."""
    places = [f"p{number}" for number in range(len(ways))]
    return {
        "format": "millhand-cell/1", "name": "at one moment", "grid_s": 1, "goal": "makespan",
        "places": {name: {} for name in places},
        "stations": {
            name: {"kind": kinds[name[:2]], "place": "p0", **({} if name[0] == "m" else {"capacity": None}), **own}
            for kinds in [{"ra": "supply", "do": "sink", "m1": "process"}] for name, own in stations.items()
        },
        "attendants": {who: {"kind": "arm", "home": "p0", "moves": "ways", **own} for who, own in arms.items()},
        "moves": {"ways": {"places": places, "empty_s": ways}},
        "parts": {name: {"lot": {"size": size}, "route": route} for name, (size, route) in parts.items()},
    }  # fmt: skip


def route(*steps: Form | str) -> list[Form]:
    """From a supply over machines to an outfeed; a station without work by its name."""
    return [{"at": [step]} if isinstance(step, str) else step for step in steps]


def at(station: str, time_s: int, **own: object) -> Form:
    """A step at a machine."""
    return {"at": [station], "time_s": time_s, **own}


def found_for(form: Form) -> Schedule:
    """The plan of a short search."""
    return shortest_makespan(cell_from(form), deadline=None, deterministic=2.0, workers=1, seed=1)


def assert_least(form: Form, steps: int) -> None:
    """So many seconds, proven, and no plan was left out for it."""
    found = found_for(form)

    assert "validator" not in found.how
    assert (found.period_steps, found.proven) == (steps, True)


@pytest.mark.parametrize(("parts", "steps"), [(2, 1), (3, 3), (4, 3)])
def test_two_hands_carry_two_parts_of_one_lot_at_once(parts: int, steps: int) -> None:
    """A second there and a second back, nothing else takes time: one way for two parts, two and the way back for
    more."""
    form = cell(
        [[0, 1], [1, 0]],
        {"raw": {}, "done": {"place": "p1"}},
        {"bolt": (parts, route("raw", "done"))},
        arm={"hands": 2},
    )

    assert_least(form, steps)


def test_an_earlier_lot_is_lifted_first_at_one_moment_too() -> None:
    """Five seconds for the first lot, one for the second, which may stay for five and comes when the machine is free;
    all ways take no time."""
    form = cell(
        [[0]],
        {"raw": {}, "m1": {"in_queue": 1}, "done": {}},
        {
            "first": (1, route("raw", at("m1", 5), "done")),
            "second": (1, route("raw", at("m1", 1, stay_max_s=5), "done")),
        },
        arm={}, other={},
    )  # fmt: skip

    assert_least(form, 6)


def test_slots_are_filled_and_emptied_by_one_hand_in_an_order_that_is_possible() -> None:
    """Two parts, lifted in a second each, both twice through one of two slots, 0 s and 1 s, and away in a second of
    which the way back takes the arm to the next one."""
    form = cell(
        [[0, 0], [1, 0]],
        {"raw": {"place": "p1"}, "m1": {"place": "p1", "capacity": 2}, "done": {}},
        {"bolt": (2, route("raw", at("m1", 0), at("m1", 1), "done"))},
        arm={"home": "p1"},
    )
    none: Form = {"hold_s": 0}
    form["handling"] = [
        {"who": ["arm"], "at": ["raw"], "pick": {"hold_s": 1}},
        {"who": ["arm"], "at": ["m1"], "pick": none, "place": none},
        {"who": ["arm"], "at": ["done"], "place": none},
    ]

    assert_least(form, 4)


@pytest.mark.parametrize("own", ["self_in", "self_out"])
@pytest.mark.parametrize("times_s", [(0, 0), (5, 3)])
def test_a_part_goes_into_the_same_machine_again_by_itself(own: str, times_s: tuple[int, int]) -> None:
    """Two steps at one machine, one after the other: both are done, and nobody else moves in between."""
    form = cell(
        [[0]],
        {"raw": {}, "m1": {own: True}, "done": {}},
        {"bolt": (1, route("raw", *(at("m1", time) for time in times_s), "done"))},
        arm={},
    )

    assert_least(form, sum(times_s))


def test_two_arms_lift_parts_of_two_lots_at_one_moment() -> None:
    """The one that is given later may be lifted at the same moment by the other arm: the order is that of the arcs."""
    ways = {"places": ["p0", "p1"], "empty_s": [[0, 2], [2, 0]]}
    form = cell(
        [[0, 0], [3, 0]],
        {"raw": {"place": "p1"}, "m1": {}, "done": {}},
        {"first": (1, route("raw", at("m1", 0), "done")), "second": (1, route("raw", "done"))},
        arm={}, other={"moves": "others"},
    )  # fmt: skip
    form["moves"]["others"] = ways
    form["parts"]["first"]["lot"]["count"] = 2
    none: Form = {"hold_s": 0}
    form["handling"] = [
        {"who": ["arm", "other"], "at": ["raw"], "pick": none},
        {"who": ["arm", "other"], "at": ["m1"], "pick": none, "place": {"hold_s": 1}},
        {"who": ["arm", "other"], "at": ["done"], "place": none},
    ]

    assert_least(form, 7)


@pytest.mark.parametrize("hands", [1, 2])
def test_no_turn_is_counted_from_one_endless_slot_to_another(hands: int) -> None:
    """Slots are machines side by side: 4 s and 6 s, and nothing for the turn in between, as for two slots."""
    for capacity in (None, 2):
        form = cell(
            [[0]],
            {"raw": {}, "m1": {"capacity": capacity}, "done": {}},
            {"bolt": (1, route("raw", at("m1", 4), at("m1", 6), "done"))},
            arm={"hands": hands, "turn_s": 3},
        )

        assert_least(form, 10)


def test_a_machine_does_not_stand_empty_while_its_part_is_put_in_again() -> None:
    """A bolt that is worked on twice at one machine, 1 s to put it in each time, is never fetched again in between: two
    seconds, and a second way takes none."""
    form = cell(
        [[0, 1], [0, 0]],
        {"raw": {"place": "p1"}, "raw2": {}, "m1": {"place": "p1"}, "done": {}},
        {"washer": (1, route("raw2", "done")), "bolt": (1, route("raw", at("m1", 0), at("m1", 0), "done"))},
        arm={"home": "p1"},
    )
    none: Form = {"hold_s": 0}
    form["handling"] = [
        {"who": ["arm"], "at": ["raw", "raw2"], "pick": none},
        {"who": ["arm"], "at": ["m1"], "pick": none, "place": {"hold_s": 1}},
        {"who": ["arm"], "at": ["done"], "place": none},
    ]

    assert_least(form, 2)


def test_where_one_stop_aside_is_too_few_nobody_says_that_there_is_no_plan() -> None:
    """Three arms by their order on a track, of which the uppermost has to come to where the second lowest place is:
    the others can go to and fro meanwhile, so the refusal is one of this version."""
    form = cell(
        [[0, 1, 1, 1], [1, 0, 1, 1], [1, 1, 0, 1], [1, 2, 1, 0]],
        {"raw": {"place": "p3"}, "m1": {"place": "p1"}, "done": {"place": "p3"}},
        {"bolt": (1, route("raw", at("m1", 0), "done"))},
        a1={"home": "p1"}, a2={"home": "p2"}, a3={"home": "p3"},
    )  # fmt: skip
    form["places"] = {name: {"track_m": metres} for name, metres in (("p0", 0), ("p1", 2), ("p2", 5), ("p3", 6))}
    form["tracks"] = {"rail": {"attendants": ["a1", "a2", "a3"], "rule": "order"}}

    with pytest.raises(NotYet, match="two stops aside"):
        found_for(form)


def test_nobody_goes_aside_after_the_end_of_all_lots() -> None:
    """Two arms by their order on a track. The lower one brings the part from the first place to a machine there and
    away, which takes no time; the upper one could go there only after it, that is never."""
    form = cell(
        [[0, 1, 1], [1, 0, 1], [1, 1, 0]],
        {"raw": {}, "m1": {"place": "p2"}, "m12": {}, "done": {}},
        {"bolt": (1, route("raw", {"at": ["m1", "m12"], "time_s": 0}, "done"))},
        low={}, high={"home": "p2"},
    )  # fmt: skip
    form["places"] = {name: {"track_m": metres} for name, metres in (("p0", 0), ("p1", 3), ("p2", 5))}
    form["tracks"] = {"rail": {"attendants": ["low", "high"], "rule": "order"}}

    assert_least(form, 0)


@pytest.mark.parametrize("room", [True, False])
def test_an_arm_that_carries_nothing_goes_out_of_the_way(room: bool) -> None:
    """It stands where the only other one on its track has to set the part down: it leaves for the place beyond, where
    there is one, while the part is on its way."""
    form = cell(
        [[0, 1, 2], [1, 0, 1], [2, 1, 0]], {"raw": {}, "done": {"place": "p1"}}, {"bolt": (1, route("raw", "done"))},
        low={}, high={"home": "p1", "take_from": []},
    )  # fmt: skip
    form["places"] = {name: {"track_m": at_m} for name, at_m in (("p0", 0), ("p1", 3), ("p2", 6))}
    form["tracks"] = {"rail": {"attendants": ["low", "high"], "keep_m": 1}}
    if room:
        assert_least(form, 1)
        return
    del form["places"]["p2"]
    form["moves"]["ways"] = {"places": ["p0", "p1"], "empty_s": [[0, 1], [1, 0]]}
    with pytest.raises(InputError, match="out of the others' way"):
        found_for(form)


def on_rail(form: Form, rule: str, at_m: tuple[int, ...]) -> Form:
    """The cell with its places on one track, on which all its arms run."""
    places = {name: {"track_m": metres} for name, metres in zip(form["places"], at_m, strict=True)}
    return form | {"places": places, "tracks": {"rail": {"attendants": list(form["attendants"]), "rule": rule}}}


def test_what_waits_at_one_moment_on_a_track_has_an_order() -> None:
    """A part is set down and lifted in one second, while one arm leaves and another comes: the plan found went round in
    a circle. So many seconds by a search of every state second by second."""
    ways = [[int(a != b) for b in range(4)] for a in range(4)]
    stations = {"raw": {"place": "p3"}, "m1": {"place": "p1"}, "done": {"place": "p3"}}
    parts = {"x1": (1, route("raw", at("m1", 0), "done"))}
    form = on_rail(cell(ways, stations, parts, a1={"home": "p1"}, a2={"home": "p2"}), "order", (0, 1, 2, 5))

    assert_least(form, 3)


def test_who_stays_at_a_machine_on_a_track_leaves_when_it_is_done() -> None:
    """The part goes into a machine at the place of its supply, so the way there takes no time."""
    ways = [[int(a != b) for b in range(4)] for a in range(4)]
    stations = {"raw": {}, "m1": {"attended": True}, "done": {"place": "p2"}}
    parts = {"x1": (1, route("raw", at("m1", 1), "done"))}
    form = on_rail(cell(ways, stations, parts, a1={"home": "p1"}, a2={"home": "p3"}), "apart", (0, 2, 3, 5))

    assert_least(form, 3)


def test_two_arms_on_a_track_do_not_wait_for_each_other_at_one_moment() -> None:
    """Both would be at the machine's place in the same second: the one brings its part when the other has lifted, and
    leaves before the other comes. No plan takes 12 s or less, as a search of every state second by second says."""
    form = cell(
        [[0] * 4] * 4,
        {"raw": {"place": "p2"}, "m1": {"place": "p2"}, "done": {"place": "p3"}},
        {"x1": (2, route("raw", at("m1", 4), "done"))},
        a1={"home": "p1", "moves": "low"}, a2={"home": "p2", "moves": "high"},
    )  # fmt: skip
    low = [[0, 1, 1, 1], [1, 0, 1, 2], [5, 1, 0, 5], [4, 2, 1, 0]]
    high = [[0, 1, 3, 5], [1, 0, 2, 4], [3, 2, 0, 2], [5, 4, 2, 0]]
    form["moves"] = {name: form["moves"]["ways"] | {"empty_s": ways} for name, ways in (("low", low), ("high", high))}
    form["places"] = {name: {"track_m": at_m} for name, at_m in zip(form["places"], (0, 1, 3, 5), strict=True)}
    form["tracks"] = {"rail": {"attendants": ["a1", "a2"], "rule": "order"}}
    none: Form = {"hold_s": 0}
    form["handling"] = [
        {"who": ["a1", "a2"], "at": ["raw"], "pick": {"hold_s": 0, "lead_s": 2}},
        {"who": ["a1", "a2"], "at": ["m1"], "pick": none, "place": none},
        {"who": ["a1", "a2"], "at": ["done"], "place": none},
    ]
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=0.5, workers=1, seed=1)

    assert found.period_steps > 12
    assert found.least_steps <= 18


def test_ways_along_a_track_take_time() -> None:
    """Who is everywhere at once keeps no distance: such plans did not pass the validator."""
    form = cell(
        [[0, 0], [0, 0]], {"raw": {}, "m1": {"place": "p1"}, "done": {}}, {"x": (1, route("raw", at("m1", 3), "done"))},
        a1={}, a2={"home": "p1"},
    )  # fmt: skip
    with pytest.raises(NotYet, match="in no time"):
        found_for(on_rail(form, "apart", (0, 2)))


def test_two_arms_each_lift_a_part_of_a_load_before_either_sets_one_down() -> None:
    """Both parts of a load go into the same machine again, which has to be empty between: one arm lifts, then the
    other, then both set down, all in one second. Such a plan was refused, as if lift and set-down were one thing. So
    many seconds by a search of every state."""
    empty = [[0, 3, 5, 4, 4], [3, 0, 4, 4, 2], [5, 5, 0, 1, 1], [1, 2, 1, 0, 5], [1, 4, 5, 5, 0]]
    loaded = [[0, 5, 5, 5, 5], [4, 0, 5, 6, 4], [5, 5, 0, 2, 2], [3, 3, 2, 0, 7], [1, 4, 5, 7, 0]]
    form = cell(
        empty,
        {"raw": {}, "m1": {"place": "p1", "batch": 2}, "done": {"place": "p4"}},
        {"x": (2, route("raw", at("m1", 4, stay_max_s=8), at("m1", 9), "done"))},
        a1={"home": "p3"}, a2={"home": "p4"},
    )  # fmt: skip
    form["moves"]["ways"]["loaded_s"] = loaded
    found = found_for(on_rail(form, "apart", (0, 1, 2, 3, 6)))

    assert found.period_steps == 23
    assert found.least_steps <= 23


def test_who_goes_out_of_the_way_at_last_is_there_before_the_end() -> None:
    """The lower arm leaves the place of the second machine for the upper one; a way that ended after the last part was
    out was not told, and both stood at one place. So many seconds by a search of every state."""
    empty = [[0, 4, 5, 7], [4, 0, 2, 4], [5, 2, 0, 3], [7, 4, 3, 0]]
    loaded = [[0, 6, 7, 7], [6, 0, 4, 4], [6, 3, 0, 3], [9, 5, 3, 0]]
    form = cell(
        empty,
        {
            "raw": {"place": "p1"}, "m1": {"place": "p1", "attended": True},
            "m12": {"place": "p2", "attended": True}, "done": {"place": "p3"},
        },
        {"x": (3, route("raw", {"at": ["m1", "m12"], "time_s": 2}, at("m12", 1), "done"))},
        a1={"home": "p1"}, a2={"home": "p3", "take_from": ["m12", "done", "raw"]},
    )  # fmt: skip
    form["moves"]["ways"]["loaded_s"] = loaded
    found = found_for(on_rail(form, "order", (0, 3, 4, 6)))

    assert found.period_steps == 26
    assert found.least_steps <= 26


def test_one_hand_does_not_carry_on_while_it_waits_for_a_buffer() -> None:
    """A part comes out of the machine only when the one before is out of the buffer behind it, which the only hand
    then brings away for 3 s. A plan in which that hand served the other part meanwhile, within one moment, was called
    proven, at 16 s; every state second by second gives 17 s."""
    own = {"in_queue": 1, "out_queue": 1}
    form = cell(
        [[0, 3], [1, 0]], {"raw": {}, "m1": own, "m12": own, "done": {"place": "p1"}},
        {"x": (1, route("raw", at("m12", 2), "done")),
         "y": (1, route("raw", at("m1", 5), at("m12", 3), at("m1", 5), "done"))},
        arm={},
    )  # fmt: skip
    form["moves"]["ways"]["loaded_s"] = [[0, 3], [6, 0]]

    assert_least(form, 17)


def test_of_what_leaves_a_buffer_at_one_moment_any_may_come_first() -> None:
    """Each part goes twice into a machine with room for two behind it, 6 s and then none, and moves on by itself, so at
    the end several leave the buffer in one second: three of any make the room that the last one waits for. One
    of them was asked for, and every plan refused. So many seconds by a search of every state."""
    form = cell(
        [[0, 2, 2], [0, 0, 2], [1, 2, 0]],
        {"raw": {"place": "p1"}, "m1": {"self_out": True, "in_queue": 1, "out_queue": 2}, "done": {"place": "p2"}},
        {"bolt": (3, route("raw", at("m1", 6), at("m1", 0), "done"))},
        arm={},
    )
    form["handling"] = [
        {"who": ["arm"], "at": ["raw"], "pick": {"hold_s": 1}},
        {"who": ["arm"], "at": ["m1", "done"], "place": {"hold_s": 1, "lead_s": 1}},
    ]

    assert_least(form, 23)


def test_two_parts_do_not_change_their_places_by_themselves() -> None:
    """One goes from the first machine to the second, the other from the second to the first, without anybody, and
    neither can go first: one after the other, 14 s. The search held an order for possible in which both go at once."""
    form = cell(
        [[0]],
        {"raw": {}, "raw2": {}, "m1": {"self_out": True}, "m12": {"self_out": True}, "done": {}},
        {"bolt": (1, route("raw", at("m1", 4), at("m12", 3), "done")),
         "nut": (1, route("raw2", at("m12", 4), at("m1", 3), "done"))},
        arm={},
    )  # fmt: skip

    assert_least(form, 14)

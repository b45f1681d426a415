"""The plan of work by hand: machines where they stand, rounds that visit each, and what the change brings."""

from itertools import pairwise

import pytest

from millhand.model.fact import Fact
from millhand.model.layout import Spot
from millhand.report.drawing import Line, Point, Thing, Words, extent
from millhand.report.hand_plan import HandPlan, hand_things
from millhand.report.marks import Marks

ROWS = ((0.0, 1.1, 2.4, 2.2), (4.0, 1.1, 2.4, 2.2))  # middle x, y, width, depth [m]


def plan(*, raw: bool = True, brought: bool = True, fills: str = "", faces: str = "south") -> HandPlan:
    """Two machines in a row."""
    facts = {
        f"m{n}.{k}": Fact(id=f"m{n}.{k}", value=value, unit="m", basis="given", source="by hand")
        for n, row in enumerate(ROWS, start=1) for k, value in enumerate(row)
    }  # fmt: skip
    machines = tuple(
        Spot(name=f"machine_{n}", x_m=f"m{n}.0", y_m=f"m{n}.1", width_m=f"m{n}.2", depth_m=f"m{n}.3") for n in (1, 2)
    )
    return HandPlan(
        machines=machines, faces={"machine_1": faces, "machine_2": faces}, letters=0.12, raw=raw, brought=brought,
        fills=fills, marks=Marks(facts=facts, choices={}, currency="USD"),
    )  # fmt: skip


def layer(things: tuple[Thing, ...], name: str) -> list[Line]:
    """The lines of a layer."""
    return [each for each in things if isinstance(each, Line) and each.layer == name]


def crosses(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether two pieces of ways cut each other."""

    def turn(p: Point, q: Point, r: Point) -> bool:
        return (q[0] - p[0]) * (r[1] - p[1]) > (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) != turn(a, b, d) and turn(c, d, a) != turn(c, d, b)


def said(things: tuple[Thing, ...]) -> set[str]:
    """The words in the plan."""
    return {each.text for each in things if isinstance(each, Words)}


def test_the_round_goes_from_raw_parts_past_each_machine_to_the_finished_ones_and_back() -> None:
    """Before each door once, from left to right, with an arrow on each of its pieces."""
    things = hand_things(plan())
    (walked,) = layer(things, "round")

    assert walked.points[1:3] == ((0.0, pytest.approx(-0.45)), (4.0, pytest.approx(-0.45)))
    assert walked.points[0] == walked.points[-1]
    assert len(layer(things, "arrows")) == len(tuple(pairwise(walked.points)))
    assert {"raw parts", "finished parts", "machine 1", "machine 2"} <= said(things)
    assert not layer(things, "round today")


def test_where_something_fills_by_itself_the_round_of_today_stands_beside_the_new_one() -> None:
    """The new one goes past what the change brings, not past the doors."""
    things = hand_things(plan(raw=False, fills="boxes"))
    (now,), (then,) = layer(things, "round today"), layer(things, "round")
    boxes = [extent([each]) for each in layer(things, "brought")]

    assert len(boxes) == 2
    for (x, y), (low_x, low_y, high_x, _) in zip(then.points, boxes, strict=False):
        assert low_x < x < high_x
        assert y < low_y
    assert then.points[:2] != now.points[:2]
    assert not any(crosses(*one, *other) for one in pairwise(now.points) for other in pairwise(then.points))
    (store,) = [extent([each]) for each in layer(things, "stores")]
    assert all(y > store[3] for _, y in (*now.points, *then.points))  # no stroke runs into the box and its words
    assert "raw parts" not in said(things)


def test_a_change_of_arrangement_brings_nothing() -> None:
    """Then no piece stands before a machine."""
    assert not layer(hand_things(plan(brought=False)), "brought")
    assert len(layer(hand_things(plan()), "brought")) == 2


def test_doors_that_look_north_are_tended_from_the_north() -> None:
    """What is brought stands on that side, and so does everybody."""
    things = hand_things(plan(faces="north"))

    assert all(low_y >= 2.2 for _, low_y, _, _ in (extent([each]) for each in layer(things, "brought")))
    assert min(y for each in layer(things, "round") for _, y in each.points) > 2.2

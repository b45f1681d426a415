"""A fence round a cell: closed but for machines and gates, open to those who fill from outside."""

import pytest

from millhand.solvers.placing.fencing import Piece, fenced, notch, with_gates
from millhand.solvers.placing.site import Rect
from millhand.solvers.placing.walks import reachable

WHOLE = Rect(name="fence", x_m=0.0, y_m=0.0, width_m=6.0, depth_m=4.0)
STRIP = Rect(name="people", x_m=-2.9, y_m=0.5, width_m=0.8, depth_m=1.2)  # 0.5 inside of the western side
MACHINE = Rect(name="machine_1", x_m=1.0, y_m=3.0, width_m=2.0, depth_m=2.4)
DOOR = Rect(name="machine_1", x_m=1.0, y_m=1.55, width_m=0.8, depth_m=0.5)


def length(pieces: tuple[Piece, ...]) -> float:
    """Of all pieces together."""
    return sum(abs(x - to_x) + abs(y - to_y) for x, y, to_x, to_y in pieces)


def test_without_anything_it_is_the_rectangle() -> None:
    """Four pieces as long as its sides."""
    pieces = fenced(WHOLE, (), ())

    assert len(pieces) == 4
    assert length(pieces) == pytest.approx(20.0)


def test_a_notch_adds_twice_its_depth_and_lets_people_stand_outside() -> None:
    """The line goes round the strip; somebody in it is reached from outside with the fence closed."""
    cut = notch(WHOLE, STRIP, (-1, 0))
    pieces = fenced(WHOLE, (cut,), ())
    closed = with_gates(pieces, (), (), gate_m=0.8, width_m=0.7)

    assert cut.width_m == pytest.approx(0.5)
    assert length(pieces) == pytest.approx(20.0 + 2 * 0.5)
    assert reachable(closed.walls, [STRIP, DOOR], 0.7) == [True, False]


def test_a_machine_closes_the_fence_where_it_stands() -> None:
    """No piece inside of it: its width less on that side."""
    assert length(fenced(WHOLE, (), (MACHINE,))) == pytest.approx(20.0 - 2.0)


def test_a_gate_lets_somebody_through_to_the_door() -> None:
    """As wide as asked for, and what the fence loses is the gate."""
    pieces = fenced(WHOLE, (), (MACHINE,))
    made = with_gates(pieces, (MACHINE,), (DOOR,), gate_m=0.8, width_m=0.7)

    assert len(made.gates) == 1
    assert length(made.gates) == pytest.approx(0.8)
    assert length(made.pieces) == pytest.approx(length(pieces) - 0.8)
    assert reachable((MACHINE, *made.walls), [DOOR], 0.7) == [True]


def test_a_wall_across_the_cell_asks_for_a_second_gate() -> None:
    """Doors on both sides of something that reaches from side to side; a door that no gate helps gets none."""
    across = Rect(name="belt", x_m=0.0, y_m=0.0, width_m=0.3, depth_m=4.0)
    doors = tuple(Rect(name="", x_m=x, y_m=1.0, width_m=0.5, depth_m=0.5) for x in (-1.5, 1.5))
    walled = Rect(name="", x_m=1.5, y_m=1.0, width_m=0.9, depth_m=0.9)
    pieces = fenced(WHOLE, (), ())

    both = with_gates(pieces, (across,), doors, gate_m=0.8, width_m=0.7)
    one = with_gates(pieces, (across, walled), doors, gate_m=0.8, width_m=0.7)

    assert len(both.gates) == 2
    assert reachable((across, *both.walls), doors, 0.7) == [True, True]
    assert len(one.gates) == 1

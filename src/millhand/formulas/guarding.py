"""What safeguarding of a cell asks for and costs: the level of its functions, stopping, moves and floor."""

import math
from collections.abc import Sequence

from millhand.formulas.floor import enclosed_area_m2
from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE
from millhand.formulas.loads import swing_time_s
from millhand.formulas.register import formula
from millhand.formulas.separation import crush_gap_m, opening_distance_m

CAUTION = (
    "An aid for concept work: a starting point for the risk assessment, which competent persons make on site by local "
    "codes. Stopping times and paths are measured on the real cell."
)
LEVELS = "abcde"
# By severity, frequency and avoidance, each 1 or 2: 1 stands for the level a, 5 for e.
RISK_GRAPH = {
    (1, 1, 1): 1, (1, 1, 2): 2, (1, 2, 1): 2, (1, 2, 2): 3,
    (2, 1, 1): 3, (2, 1, 2): 4, (2, 2, 1): 4, (2, 2, 2): 5,
}  # fmt: skip
ONE_OR_TWO = (1.0, 2.0)
OFTEN_SHARE, OFTEN_PER_H = 0.05, 4.0  # beyond a twentieth of the time, or more than every quarter of an hour


@formula(
    source="iso13849_1, annex A, figure A.1",
    valid={"severity": ONE_OR_TWO, "frequency": ONE_OR_TWO, "avoidance": ONE_OR_TWO},
    caution=CAUTION,
)
def required_level(severity: float, *, frequency: float, avoidance: float) -> float:
    """Performance level that a safety function is asked for by the risk graph: 1 is a, 2 b, 3 c, 4 d, 5 e.

    severity 1: slight, heals; 2: serious. frequency 1: seldom or short; 2: often or long. avoidance 1: possible; 2:
    hardly. Refuses anything but 1 or 2. Source: iso13849_1, annex A, figure A.1.  Valid for 1 or 2 of each.
    """
    judged = (severity, frequency, avoidance)
    if any(each not in ONE_OR_TWO for each in judged):
        raise ValueError("the risk graph knows 1 and 2 only, for severity, frequency and avoidance")
    return float(RISK_GRAPH[int(severity), int(frequency), int(avoidance)])


@formula(
    source="own_computation, hours inside over hours there",
    unit="1",
    valid={"calls_share": (0.0, 1.0), "there_share": (math.ulp(0.0), 1.0), "changeovers_h_per_y": NOT_NEGATIVE,
           "there_h_per_y": POSITIVE},
    caution=CAUTION,
)  # fmt: skip
def inside_share(calls_share: float, *, there_share: float, changeovers_h_per_y: float, there_h_per_y: float) -> float:
    """Share of the hours with somebody there in which somebody is inside the guard: called, or at changeovers [1].

    calls_share and there_share are of the same week. Source: own_computation.  Valid where people go in one after the
    other.
    """
    return calls_share / there_share + changeovers_h_per_y / there_h_per_y


@formula(
    source="iso13849_1, annex A, A.2.2",
    unit="1",
    valid={"judged": ONE_OR_TWO, "share": NOT_NEGATIVE, "calls_per_h": NOT_NEGATIVE, "there_share": (0.0, 1.0)},
    caution=CAUTION,
)
def counted_frequency(judged: float, *, share: float, calls_per_h: float, there_share: float) -> float:
    """F of the risk graph by what is counted, never lower than it was judged: 1 seldom or short, 2 often or long.

    2 beyond a twentieth of the time, or more often than every quarter of an hour. Source: iso13849_1, annex A, A.2.2.
    Valid where both are counted for the cell.
    """
    often = share > OFTEN_SHARE or calls_per_h > OFTEN_PER_H * there_share
    return 2.0 if often else judged


@formula(
    source="own_computation, reactions in a row and constant deceleration",
    valid={
        "device_s": NOT_NEGATIVE, "control_s": NOT_NEGATIVE, "speed_m_s": NOT_NEGATIVE, "decel_m_s2": (0.01, 200.0),
    },
    caution=CAUTION,
)  # fmt: skip
def overall_stopping_s(device_s: float, *, control_s: float, speed_m_s: float, decel_m_s2: float) -> float:
    """From the moment somebody is detected until the arm stands: device, control, braking at a constant rate [s].

    Source: own_computation.  Valid for concept work; the measured overall stopping time goes first.
    """
    return device_s + control_s + speed_m_s / decel_m_s2


@formula(
    source="siciliano2009, sec. 4.2.1, trapezoidal profile; never below the move at full speed",
    valid={"move_s": NOT_NEGATIVE, "distance_m": NOT_NEGATIVE, "speed_m_s": POSITIVE, "ramp_s": POSITIVE},
)
def capped_move_s(move_s: float, *, distance_m: float, speed_m_s: float, ramp_s: float) -> float:
    """A move whose hand goes no faster than allowed: as long as at full speed, or longer [s].

    The way is at least the straight distance. Source: siciliano2009, sec. 4.2.1.  Valid for rest-to-rest moves.

    >>> capped_move_s(1.6, distance_m=1.0, speed_m_s=0.25, ramp_s=0.6)
    4.6
    """
    return max(move_s, swing_time_s(distance_m, speed_m_s=speed_m_s, ramp_s=ramp_s, settle_s=0.0))


@formula(
    source="own_computation, share of the other rate",
    valid={"rate_parts_per_h": NOT_NEGATIVE, "against_parts_per_h": POSITIVE},
)
def rate_change_share(rate_parts_per_h: float, *, against_parts_per_h: float) -> float:
    """How far a rate lies above another, as a share of that; negative where it lies below.

    Source: own_computation.  Valid for another rate above zero.
    """
    return rate_parts_per_h / against_parts_per_h - 1.0


@formula(
    source="own_computation, bounding rectangle",
    valid={"margin_m": NOT_NEGATIVE, "front_m": NOT_NEGATIVE},
    units={"xs_m": "m", "ys_m": "m", "lengths_m": "m", "widths_m": "m"},
)
def guarded_area_m2(
    xs_m: Sequence[float],
    *,
    ys_m: Sequence[float],
    lengths_m: Sequence[float],
    widths_m: Sequence[float],
    margin_m: float,
    front_m: float,
) -> float:
    """Floor inside a guard round several rectangles that keeps a distance of its own along the longer side [m2].

    As enclosed_area_m2, with front_m in place of the margin on the longer side on which people stand; the larger of
    the two counts. Source: own_computation.  Valid for one open side.

    >>> guarded_area_m2([0.0], ys_m=[0.0], lengths_m=[3.0], widths_m=[1.0], margin_m=0.5, front_m=1.5)
    12.0
    """
    more_m = max(front_m - margin_m, 0.0)
    rows = {"ys_m": ys_m, "lengths_m": lengths_m, "widths_m": widths_m}
    whole = enclosed_area_m2(xs_m, **rows, margin_m=margin_m)
    across = _side(xs_m, lengths_m) + 2.0 * margin_m
    along = _side(ys_m, widths_m) + 2.0 * margin_m
    return math.fsum((whole, more_m * max(across, along)))


def _side(middles: Sequence[float], sizes: Sequence[float]) -> float:
    """From the lowest edge to the highest."""
    edges = [(middle - size / 2.0, middle + size / 2.0) for middle, size in zip(middles, sizes, strict=True)]
    return max(high for _, high in edges) - min(low for low, _ in edges)


@formula(
    source="own_computation, sum",
    valid={"panels": NOT_NEGATIVE, "gates": NOT_NEGATIVE, "places": NOT_NEGATIVE},
    caution=CAUTION,
)
def emergency_stops(panels: float, *, gates: float, places: float) -> float:
    """Emergency stop devices to begin a plan with: one at each panel, each gate, each place where somebody works [1].

    Source: own_computation, sum.  Valid as a start; one device may do for two places within an arm's length.

    >>> emergency_stops(2.0, gates=1.0, places=2.0)
    5.0
    """
    return panels + gates + places


@formula(
    source="iso13857, table 4; iso13854, table of least gaps",
    valid={"opening_m": (0.0, 0.12), "over_m": NOT_NEGATIVE},
    caution=CAUTION,
)
def fence_distance_m(over_m: float, *, opening_m: float) -> float:
    """The longest distance that is asked for between a fence of mesh and what moves behind it [m].

    Of what is asked for over it, through its square openings, and of the gap in which no body is crushed inside.
    Source: iso13857, table 4; iso13854, table of least gaps.  Valid to an opening of 0.12 m.

    >>> fence_distance_m(0.6, opening_m=0.04), fence_distance_m(0.0, opening_m=0.04)
    (0.6, 0.5)
    """
    return max(fence_distances_m(over_m, opening_m))


def fence_distances_m(over_m: float, opening_m: float) -> tuple[float, ...]:
    """All of these distances [m]."""
    return over_m, opening_distance_m(opening_m, shape="square"), crush_gap_m("body")


@formula(source="own_computation, perimeter of a rectangle", valid={"out_m": NOT_NEGATIVE})
def wider_fence_m(out_m: float) -> float:
    """Fence that is added where all four sides of a rectangle stand so much further out [m].

    Source: own_computation.  Valid for a closed rectangle: where machines close a side, less is added.

    >>> wider_fence_m(0.5)
    4.0
    """
    return 8.0 * out_m


@formula(
    source="own_computation, area of a rectangle",
    valid={"out_m": NOT_NEGATIVE, "width_m": NOT_NEGATIVE, "depth_m": NOT_NEGATIVE},
)
def wider_floor_m2(out_m: float, *, width_m: float, depth_m: float) -> float:
    """Floor that is added where all four sides of a rectangle stand so much further out [m2].

    Source: own_computation.  Valid for a closed rectangle: where machines close a side, less is added.

    >>> wider_floor_m2(0.5, width_m=3.0, depth_m=2.0)
    6.0
    """
    return (width_m + 2.0 * out_m) * (depth_m + 2.0 * out_m) - width_m * depth_m

"""Trays, presenters, hands and placings for any sizes: more room never holds less, more force is never less needed."""

import math

from hypothesis import given
from hypothesis import strategies as st

from millhand.formulas.blocks import rectangle_places_five_blocks, tray_places_five_blocks
from millhand.formulas.grip import grip_force_n, suction_required_n, v_jaw_force_n
from millhand.formulas.jaws import (
    form_fit_force_n,
    three_jaw_across_force_per_jaw_n,
    upright_grip_force_n,
    v_and_flat_jaw_force_n,
    v_jaw_across_force_per_jaw_n,
    v_jaw_friction_force_per_jaw_n,
    worst_grip_force_n,
)
from millhand.formulas.lifting_frequency import frequency_multiplier
from millhand.formulas.lifting_tasks import composite_lifting_index
from millhand.formulas.nested_blocks import rectangle_places_nested_blocks
from millhand.formulas.packing import (
    bundle_places,
    fits,
    grid_places,
    hexagonal_places,
    lying_places,
    rectangle_places_two_ways,
    tray_places,
)
from millhand.formulas.placing import root_sum_square_m, worst_case_m
from millhand.formulas.presenters import drawer_parts, pallet_parts, stacked_layers
from millhand.formulas.stand import sliding_factor, tipping_factor
from millhand.formulas.vacuum import leaking_vacuum_pa, magnet_force_n, porous_vacuum_pa, suction_required_sideways_n

SIDES = st.floats(0.05, 1.2)
PARTS = st.floats(0.06, 0.3)
GAPS = st.floats(0.0, 0.05)
MORE = st.floats(0.0, 0.5)
MASSES = st.floats(0.1, 50.0)
ACCELS = st.floats(0.0, 60.0)
FRICTIONS = st.floats(0.05, 1.0)
FACTORS = st.floats(1.0, 4.0)
COVER = math.pi / math.sqrt(12.0)  # share of the plane that equal circles cover at most


@given(SIDES, SIDES, PARTS, PARTS, MORE, MORE)
def test_a_larger_tray_never_holds_fewer(
    length: float, width: float, one: float, other: float, longer: float, wider: float
) -> None:
    """Five blocks and rows, on a tray that grew by any length and width."""
    part = {"part_length_m": one, "part_width_m": other}
    small = rectangle_places_five_blocks(length, width_m=width, **part)

    assert rectangle_places_five_blocks(length + longer, width_m=width + wider, **part) >= small
    lying = {"part_length_m": one, "diameter_m": other, "side_gap_m": 0.01, "end_gap_m": 0.0}
    assert lying_places(length + longer, width_m=width + wider, **lying) >= lying_places(length, width_m=width, **lying)


@given(SIDES, SIDES, PARTS, PARTS)
def test_five_blocks_hold_at_least_two_blocks_and_at_most_the_area(
    length: float, width: float, one: float, other: float
) -> None:
    """Never below two blocks, never more area than the tray has, and nothing where no part goes in."""
    five = rectangle_places_five_blocks(length, width_m=width, part_length_m=one, part_width_m=other)

    assert five >= rectangle_places_two_ways(length, width_m=width, part_length_m=one, part_width_m=other)
    assert five * one * other <= length * width * (1.0 + 1e-6)
    if min(one, other) > min(length, width) * (1.0 + 1e-6):
        assert five == 0


@given(st.floats(0.05, 0.7), st.floats(0.05, 0.7), st.floats(0.1, 0.3), st.floats(0.1, 0.3), st.floats(0.0, 0.2))
def test_blocks_inside_blocks_hold_at_least_five_blocks_and_at_most_the_area(
    length: float, width: float, one: float, other: float, longer: float
) -> None:
    """Never below five blocks, never above the area, never fewer on a longer tray."""
    part = {"part_length_m": one, "part_width_m": other}
    nested = rectangle_places_nested_blocks(length, width_m=width, **part)

    assert nested >= rectangle_places_five_blocks(length, width_m=width, **part)
    assert nested * one * other <= length * width * (1.0 + 1e-6)
    assert rectangle_places_nested_blocks(length + longer, width_m=width, **part) >= nested


@given(SIDES, SIDES, PARTS, PARTS)
def test_how_tray_and_part_are_turned_does_not_matter(length: float, width: float, one: float, other: float) -> None:
    """Length and width of tray or of part may change places."""
    five = rectangle_places_five_blocks(length, width_m=width, part_length_m=one, part_width_m=other)

    assert rectangle_places_five_blocks(width, width_m=length, part_length_m=one, part_width_m=other) == five
    assert rectangle_places_five_blocks(length, width_m=width, part_length_m=other, part_width_m=one) == five


@given(SIDES, SIDES, PARTS, PARTS, GAPS, GAPS, GAPS)
def test_a_wider_clearance_never_brings_more_parts(
    length: float, width: float, one: float, other: float, gap: float, side: float, more: float
) -> None:
    """Neither in rows nor in five blocks, and never more area than the tray has."""
    given_ = {"width_m": width, "part_length_m": one, "part_width_m": other}
    for places in (tray_places, tray_places_five_blocks):
        narrow = places(length, **given_, grip_gap_m=gap, other_gap_m=side)
        assert places(length, **given_, grip_gap_m=gap + more, other_gap_m=side) <= narrow
        assert places(length, **given_, grip_gap_m=gap, other_gap_m=side + more) <= narrow
        assert narrow * (one + gap) * (other + side) <= length * width * (1.0 + 1e-6)


@given(SIDES, SIDES, st.floats(0.02, 0.3))
def test_square_and_shifted_rows_are_consistent(length: float, width: float, diameter: float) -> None:
    """No pattern covers more than circles can; shifting wins only where it wins a row; both agree on a single row."""
    square = grid_places(length, width_m=width, diameter_m=diameter)
    shifted = hexagonal_places(length, width_m=width, diameter_m=diameter)
    grown = (length + diameter) * (width + diameter)  # what lies half over the rim counts
    step = diameter * math.sqrt(3.0) / 2.0

    assert square * diameter**2 <= length * width * (1.0 + 1e-6)
    assert shifted * math.pi / 4.0 * diameter**2 <= COVER * grown * (1.0 + 1e-6)
    rows = [1 + fits(side - diameter, step) if side >= diameter else 0 for side in (length, width)]
    if all(count <= fits(side, diameter) for count, side in zip(rows, (length, width), strict=True)):
        assert shifted <= square
    assert (square == 0) == (shifted == 0)
    if max(length, width) < diameter * (1.0 + math.sqrt(3.0) / 2.0) * (1.0 - 1e-6):
        assert square == shifted


@given(SIDES, SIDES, st.floats(0.02, 0.3), MORE, st.floats(0.0, 0.05))
def test_round_parts_follow_room_and_clearance(
    length: float, width: float, diameter: float, longer: float, gap: float
) -> None:
    """Rows and shifted rows: never fewer on a larger tray, never more with a wider gap."""
    for places in (grid_places, hexagonal_places):
        count = places(length, width_m=width, diameter_m=diameter)
        assert places(length + longer, width_m=width, diameter_m=diameter) >= count
        assert places(length, width_m=width + longer, diameter_m=diameter) >= count
        assert places(length, width_m=width, diameter_m=diameter + gap) <= count


@given(SIDES, SIDES, SIDES, st.floats(0.02, 0.1), st.floats(0.05, 0.3), GAPS, MORE)
def test_a_bundle_grows_with_its_box(
    length: float, width: float, height: float, diameter: float, part: float, gap: float, higher: float
) -> None:
    """A higher box never holds fewer, a wider gap at the ends never more, and the rods fit by volume."""
    box = {"width_m": width, "part_length_m": part, "diameter_m": diameter}
    count = bundle_places(length, height_m=height, end_gap_m=gap, **box)

    assert bundle_places(length, height_m=height + higher, end_gap_m=gap, **box) >= count
    assert bundle_places(length, height_m=height, end_gap_m=gap + higher, **box) <= count
    assert count * math.pi / 4.0 * diameter**2 * part <= length * width * height * (1.0 + 1e-6)


@given(st.integers(0, 20), st.integers(0, 60), st.floats(0.1, 10.0), st.floats(0.0, 3.0), st.floats(0.0, 800.0), MORE)
def test_no_pallet_carries_more_than_its_load(
    layers: int, places: int, part: float, leaf: float, most: float, heavier: float
) -> None:
    """Mass with its interleaves stays below the load, parts below the places; a stronger pallet holds no fewer."""
    given_ = {"places": float(places), "part_kg": part, "interleaf_kg": leaf}
    parts = pallet_parts(float(layers), **given_, load_max_kg=most)
    leaves = max(math.ceil(parts / places) - 1, 0) if places else 0

    assert 0.0 <= parts <= layers * places
    assert parts * part + leaves * leaf <= most * (1.0 + 1e-6) + 1e-6 * part
    assert pallet_parts(float(layers), **given_, load_max_kg=most + 100.0 * heavier) >= parts


@given(st.integers(1, 20), st.integers(0, 60), st.floats(0.1, 10.0), st.floats(0.0, 200.0), st.floats(0.0, 2000.0))
def test_drawers_stay_below_each_of_their_limits(
    drawers: int, places: int, part: float, drawer: float, stand: float
) -> None:
    """Places, load of a drawer with its tray, load of the stand."""
    parts = drawer_parts(
        float(drawers), places=float(places), part_kg=part, tray_kg=2.0, drawer_max_kg=drawer, stand_max_kg=stand
    )

    assert 0.0 <= parts <= drawers * places
    if parts > 0.0:
        assert parts * part + drawers * 2.0 <= stand * (1.0 + 1e-6)
        assert parts / drawers * part + 2.0 <= drawer * (1.0 + 1e-6)


@given(st.floats(0.0, 3.0), st.floats(0.01, 0.5), st.floats(0.0, 0.05), st.floats(0.0, 0.3))
def test_a_stack_stays_below_its_height(stack: float, part: float, leaf: float, base: float) -> None:
    """All layers, interleaves and base together; one layer more would not go in."""
    layers = stacked_layers(stack, part_height_m=part, interleaf_m=leaf, base_m=base)

    if layers:
        assert base + layers * part + (layers - 1.0) * leaf <= stack + 1e-6
    assert base + (layers + 1.0) * part + layers * leaf >= stack - 1e-6


@given(MASSES, ACCELS, ACCELS, FRICTIONS, FACTORS, st.floats(0.4, 1.3))
def test_more_acceleration_never_asks_for_less_force(
    mass: float, accel: float, more: float, friction: float, factor: float, angle: float
) -> None:
    """Jaws of any kind, cups and magnets; the worst direction asks for at least what each single one does."""
    hard = accel + more
    rubbing = {"friction": friction, "factor": factor}
    in_v = rubbing | {"half_angle_rad": angle}
    for force in (grip_force_n, upright_grip_force_n, suction_required_sideways_n):
        assert force(mass, accel_m_s2=hard, **rubbing) >= force(mass, accel_m_s2=accel, **rubbing)
    for force in (v_jaw_friction_force_per_jaw_n, v_and_flat_jaw_force_n):
        assert force(mass, accel_m_s2=hard, **in_v) >= force(mass, accel_m_s2=accel, **in_v)
    for force in (form_fit_force_n, suction_required_n, three_jaw_across_force_per_jaw_n):
        assert force(mass, accel_m_s2=hard, factor=factor) >= force(mass, accel_m_s2=accel, factor=factor)
    for force in (v_jaw_force_n, v_jaw_across_force_per_jaw_n):
        across = force(mass, accel_m_s2=hard, half_angle_rad=angle, factor=factor)
        assert across >= force(mass, accel_m_s2=accel, half_angle_rad=angle, factor=factor)
    worst = worst_grip_force_n(mass, accel_m_s2=accel, stop_accel_m_s2=hard, **rubbing)
    assert worst == worst_grip_force_n(mass, accel_m_s2=hard, stop_accel_m_s2=accel, **rubbing)
    assert worst >= grip_force_n(mass, accel_m_s2=accel, **rubbing)
    assert worst >= upright_grip_force_n(mass, accel_m_s2=hard, **rubbing)


@given(st.floats(1e3, 1e5), st.floats(1e-5, 0.1), st.floats(0.0, 1e-4), st.floats(0.0, 1e-4))
def test_a_greater_leak_never_leaves_a_better_vacuum(closed: float, flow: float, leak: float, more: float) -> None:
    """Through pores or through a gap, between nothing and the closed pressure."""
    porous = [porous_vacuum_pa(closed, open_m3_s=flow, leak_m3_s_pa=each * 1e-3) for each in (leak, leak + more)]
    gaps = [leaking_vacuum_pa(closed, open_m3_s=flow, gap_m2=each, density_kg_m3=1.2) for each in (leak, leak + more)]

    for looser, tighter in (porous[::-1], gaps[::-1]):
        assert 0.0 <= looser <= tighter * (1.0 + 1e-9) <= closed * (1.0 + 1e-6)


@given(st.floats(1.0, 2e3), st.floats(0.0, 0.01), st.floats(0.0, 0.01), st.floats(1e-4, 0.01))
def test_a_wider_gap_never_pulls_harder(rated: float, gap: float, more: float, quarter: float) -> None:
    """A magnet holds its rated force without a gap, and less with each."""
    near = magnet_force_n(rated, gap_m=gap, quarter_gap_m=quarter, part_share=1.0)

    assert magnet_force_n(rated, gap_m=gap + more, quarter_gap_m=quarter, part_share=1.0) <= near <= rated


@given(MASSES, st.floats(1.0, 50.0), st.floats(0.1, 1.0), st.floats(-0.5, 0.5), st.floats(1.0, 30.0), ACCELS)
def test_a_harder_stop_never_steadies_a_stand(
    stand: float, moving: float, edge: float, out: float, stop: float, more: float
) -> None:
    """Neither against tipping nor against sliding; a heavier stand steadies against tipping."""
    foot = {"edge_m": edge, "overhang_m": out, "height_m": 1.2}
    still = tipping_factor(stand, moving_kg=moving, stop_accel_m_s2=stop, **foot)

    assert tipping_factor(stand, moving_kg=moving, stop_accel_m_s2=stop + more, **foot) <= still
    assert tipping_factor(2.0 * stand, moving_kg=moving, stop_accel_m_s2=stop, **foot) >= still
    slides = [
        sliding_factor(stand, moving_kg=moving, friction=0.3, stop_accel_m_s2=each) for each in (stop, stop + more)
    ]
    assert slides[1] <= slides[0]


@given(st.lists(st.floats(0.0, 0.01), min_size=1, max_size=8), st.floats(0.0, 0.01))
def test_the_likely_error_lies_between_the_greatest_link_and_the_worst_case(links: list[float], more: float) -> None:
    """And both grow with every further link."""
    likely, worst = root_sum_square_m(links), worst_case_m(links)

    assert max(links) * (1.0 - 1e-12) <= likely <= worst * (1.0 + 1e-12) + 1e-300
    assert root_sum_square_m([*links, more]) >= likely * (1.0 - 1e-12)
    assert worst_case_m([*links, more]) >= worst


@given(st.lists(st.tuples(st.floats(0.1, 2.0), st.floats(0.2, 3.0)), min_size=1, max_size=4))
def test_several_tasks_are_never_lighter_than_the_hardest(tasks: list[tuple[float, float]]) -> None:
    """The composite index is at least each single-task index, and does not depend on the order of the tasks."""
    free = [index for index, _ in tasks]
    rates = [rate for _, rate in tasks]
    single = [index / frequency_multiplier(rate, vertical_m=0.8, duration_h=1.0) for index, rate in tasks]

    def composite(order: slice) -> float:
        return composite_lifting_index(
            single[order],
            frequency_independent=free[order],
            lifts_per_min=rates[order],
            verticals_m=[0.8] * len(tasks),
            duration_h=1.0,
        )

    assert composite(slice(None)) >= max(single) * (1.0 - 1e-12)
    if len(set(single)) == len(single):
        assert math.isclose(composite(slice(None)), composite(slice(None, None, -1)), rel_tol=1e-9)

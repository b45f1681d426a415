"""How many parts drawers, chutes, step feeders, conveyors, pallets and loose bins hold, and how fast they give them."""

import math

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.packing import fits
from millhand.formulas.register import formula

LOAD_CAUTION = (
    "An aid for concept work. An overloaded drawer, stand or stack tips, breaks or falls; its maker's rated load, the "
    "local codes and competent persons decide what it may carry."
)
SLOPE = {"friction": (0.0, 1.5), "angle_rad": (0.0, math.pi / 2.0)}


@formula(
    source="own_computation, whole holes of a rail",
    valid={"part_height_m": POSITIVE, "extra_m": NOT_NEGATIVE, "step_m": POSITIVE},
)
def drawer_pitch_m(part_height_m: float, *, extra_m: float, step_m: float) -> float:
    """Distance from one drawer to the next: part height and extra (floor, lip, room to slide) in whole steps [m].

    Source: own_computation, whole holes of a rail.  Valid for drawers that are all alike.

    >>> round(drawer_pitch_m(0.04, extra_m=0.035, step_m=0.025), 3)
    0.075
    """
    return math.ceil((part_height_m + extra_m) / step_m - 1e-9) * step_m


@formula(
    source="own_computation, least of places, drawer load and stand load",
    unit="parts",
    valid={
        "drawers": NOT_NEGATIVE,
        "places": NOT_NEGATIVE,
        "part_kg": POSITIVE,
        "tray_kg": NOT_NEGATIVE,
        "drawer_max_kg": NOT_NEGATIVE,
        "stand_max_kg": NOT_NEGATIVE,
    },
    caution=LOAD_CAUTION,
)
def drawer_parts(
    drawers: float, *, places: float, part_kg: float, tray_kg: float, drawer_max_kg: float, stand_max_kg: float
) -> float:
    """Parts in all drawers, by the places of a tray, by what a drawer may carry and what the stand may [parts].

    tray_kg hangs in each drawer whether full or not.
    Source: own_computation.  Valid for drawers that are all alike.

    >>> drawer_parts(12.0, places=60.0, part_kg=0.8, tray_kg=3.0, drawer_max_kg=40.0, stand_max_kg=400.0)
    455.0
    """
    each = min(places, fits(drawer_max_kg - tray_kg, part_kg))
    return float(min(drawers * max(each, 0.0), fits(stand_max_kg - drawers * tray_kg, part_kg)))


@formula(
    source="own_computation, Coulomb friction on a slope",
    unit="rad",
    valid={"friction": (0.0, 1.5)},
)
def sliding_angle_rad(friction: float) -> float:
    """Slope from which a part slides by itself, arctan of the friction [rad].

    Take the HIGH end of the friction for a chute that must empty, the low end for a shelf that must not.
    Source: own_computation, Coulomb friction.  Valid for a part that does not roll, stick by oil or hang on an edge.

    >>> round(math.degrees(sliding_angle_rad(0.5)), 1)
    26.6
    """
    return math.atan(friction)


@formula(
    source="own_computation, right triangle",
    valid={"drop_m": POSITIVE, "angle_rad": (math.radians(1.0), math.pi / 2.0)},
)
def slope_length_m(drop_m: float, *, angle_rad: float) -> float:
    """Length of a chute or step feeder along its slope, from the height that it may use [m].

    Source: own_computation, right triangle.  Valid for a straight slope.
    """
    return drop_m / math.sin(angle_rad)


@formula(
    source="own_computation, whole parts along a length",
    unit="parts",
    valid={"slope_m": NOT_NEGATIVE, "part_m": POSITIVE, "lanes": FROM_ONE},
)
def chute_parts(slope_m: float, *, part_m: float, lanes: float) -> float:
    """Parts that queue in a chute, each touching the next, in all its lanes [parts].

    Source: own_computation, whole parts along a length.  Valid for part_m measured along the slope.

    >>> chute_parts(1.5, part_m=0.06, lanes=2.0)
    50.0
    """
    return fits(slope_m, part_m) * lanes


@formula(
    source="own_computation, balance of forces on a slope",
    valid=SLOPE | {"parts": NOT_NEGATIVE, "part_kg": POSITIVE, "gravity_m_s2": POSITIVE},
    caution=LOAD_CAUTION,
)
def queue_force_n(
    parts: float, *, part_kg: float, friction: float, angle_rad: float, gravity_m_s2: float = 9.80665
) -> float:
    """Force with which a queue in a chute presses on its stop, and the last parts on each other [N].

    Source: own_computation, balance of forces.  Valid at rest; a part that runs into the stop hits harder.
    """
    slide = math.sin(angle_rad) - friction * math.cos(angle_rad)
    return parts * part_kg * gravity_m_s2 * max(slide, 0.0)


@formula(
    source="own_computation, whole steps of a slope",
    unit="parts",
    valid={"slope_m": NOT_NEGATIVE, "step_m": POSITIVE, "per_step": NOT_NEGATIVE, "fill_share": SHARE},
)
def step_feeder_parts(slope_m: float, *, step_m: float, per_step: float, fill_share: float) -> float:
    """Parts that lie on the steps of a step feeder, its hopper not counted [parts].

    Source: own_computation, whole steps.  Valid for steps that are filled alike; the fill share is a judgement.

    >>> step_feeder_parts(0.9, step_m=0.15, per_step=8.0, fill_share=0.75)
    36.0
    """
    return fits(slope_m, step_m) * per_step * fill_share


@formula(
    source="own_computation, strokes times parts",
    unit="parts/h",
    valid={"strokes_per_min": NOT_NEGATIVE, "per_step": NOT_NEGATIVE, "fill_share": SHARE, "right_share": SHARE},
)
def step_feeder_rate_parts_per_h(
    strokes_per_min: float, *, per_step: float, fill_share: float, right_share: float
) -> float:
    """Parts an hour that a step feeder gives the right way up; the others fall back [parts/h].

    Source: own_computation, strokes times parts.  Valid for a hopper that is not yet down to its rest.
    """
    return strokes_per_min * 60.0 * per_step * fill_share * right_share


@formula(
    source="own_computation, whole pitches of a length",
    unit="parts",
    valid={"belt_m": POSITIVE, "part_m": POSITIVE, "pitch_m": POSITIVE, "lanes": FROM_ONE},
)
def conveyor_parts(belt_m: float, *, part_m: float, pitch_m: float, lanes: float) -> float:
    """Parts on a conveyor at a pitch: the first takes its own length, each further one a pitch [parts].

    Source: own_computation, whole pitches.  Valid for a pitch of at least a part's length.

    >>> conveyor_parts(2.0, part_m=0.1, pitch_m=0.25, lanes=1.0)
    8.0
    """
    if belt_m < part_m * (1.0 - 1e-9):
        return 0.0
    return (1.0 + fits(belt_m - part_m, max(pitch_m, part_m))) * lanes


@formula(
    source="own_computation, speed over pitch",
    unit="parts/h",
    valid={"speed_m_s": NOT_NEGATIVE, "pitch_m": POSITIVE, "lanes": FROM_ONE},
)
def conveyor_rate_parts_per_h(speed_m_s: float, *, pitch_m: float, lanes: float) -> float:
    """Parts an hour that a moving conveyor brings at a pitch [parts/h].

    Source: own_computation, speed over pitch.  Valid for a belt that runs through.
    """
    return 3600.0 * speed_m_s / pitch_m * lanes


@formula(
    source="own_computation, layers with interleaves",
    unit="1",
    valid={"stack_m": NOT_NEGATIVE, "part_height_m": POSITIVE, "interleaf_m": NOT_NEGATIVE, "base_m": NOT_NEGATIVE},
)
def stacked_layers(stack_m: float, *, part_height_m: float, interleaf_m: float, base_m: float) -> float:
    """Layers on a pallet or in a box up to a height, an interleaf between each two, the base below all [1].

    Source: own_computation, layers with interleaves.  Valid for layers that carry those above.

    >>> stacked_layers(1.2, part_height_m=0.1, interleaf_m=0.005, base_m=0.15)
    10.0
    """
    return float(fits(stack_m - base_m + interleaf_m, part_height_m + interleaf_m))


@formula(
    source="own_computation, mass layer by layer",
    unit="parts",
    valid={
        "layers": NOT_NEGATIVE,
        "places": NOT_NEGATIVE,
        "part_kg": POSITIVE,
        "interleaf_kg": NOT_NEGATIVE,
        "load_max_kg": NOT_NEGATIVE,
    },
    caution=LOAD_CAUTION,
)
def pallet_parts(layers: float, *, places: float, part_kg: float, interleaf_kg: float, load_max_kg: float) -> float:
    """Parts on a pallet or in a box in whole layers, then as many of one more as the mass still allows [parts].

    Source: own_computation, mass layer by layer.  Valid for a load that the pallet's own mass is not part of.

    >>> pallet_parts(5.0, places=20.0, part_kg=2.0, interleaf_kg=1.0, load_max_kg=130.0)
    63.0
    """
    if places <= 0.0:
        return 0.0
    layer_kg = places * part_kg + interleaf_kg
    whole = min(fits(load_max_kg + interleaf_kg, layer_kg), math.floor(layers))
    parts = whole * places
    if whole < layers:
        parts += min(fits(load_max_kg - whole * layer_kg, part_kg), places)
    return float(parts)


@formula(
    source="own_computation, volume of the parts themselves",
    unit="parts",
    valid={"volume_m3": NOT_NEGATIVE, "fill_share": SHARE, "solid_share": SHARE, "part_m3": POSITIVE},
)
def loose_parts(volume_m3: float, *, fill_share: float, solid_share: float, part_m3: float) -> float:
    """Parts that lie loose in a bin filled to a share, of which the parts themselves take the solid share [parts].

    Source: own_computation, volume.  Valid for parts much smaller than the bin; both shares are judgements.

    >>> loose_parts(0.1, fill_share=0.8, solid_share=0.5, part_m3=0.0001)
    400.0
    """
    return float(fits(volume_m3 * fill_share * solid_share, part_m3))


@formula(
    source="own_computation, share less residue",
    unit="parts",
    valid={"parts": NOT_NEGATIVE, "usable_share": SHARE, "residue_parts": NOT_NEGATIVE},
)
def pickable_parts(parts: float, *, usable_share: float, residue_parts: float) -> float:
    """Parts that are really picked out of a bin: the usable share, less those in corners that never are [parts].

    Source: own_computation.  Valid for a bin that is emptied and filled anew; topping up leaves the residue in it.

    >>> pickable_parts(400.0, usable_share=0.95, residue_parts=12.0)
    368.0
    """
    return float(max(math.floor(parts * usable_share - residue_parts + 1e-9), 0))


@formula(
    source="own_computation, mean of independent tries",
    unit="parts/h",
    valid={"try_s": POSITIVE, "success_share": SHARE},
)
def pick_rate_parts_per_h(try_s: float, *, success_share: float) -> float:
    """Parts an hour out of a bin when each try takes so long and succeeds so often [parts/h].

    Source: own_computation, geometric distribution.  Valid for independent tries; near the floor it falls.

    >>> pick_rate_parts_per_h(6.0, success_share=0.9)
    540.0
    """
    return 3600.0 * success_share / try_s


@formula(
    source="own_computation, parts of a shift over pockets",
    valid={"parts_per_shift": NOT_NEGATIVE, "pockets": POSITIVE},
    units={"parts_per_shift": "parts"},
    unit="1",
)
def refills_a_shift(parts_per_shift: float, *, pockets: float) -> float:
    """How often in a shift a presenter of so many pockets is emptied [1].

    Source: own_computation.  Valid for a presenter that is filled whole at each visit.

    >>> refills_a_shift(120.0, pockets=48.0)
    2.5
    """
    return parts_per_shift / pockets

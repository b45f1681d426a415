"""How many parts the presenter and the outfeed hold, by area, height, volume and mass."""

from dataclasses import dataclass

from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.part import Part, Size
from millhand.solvers.packing.patterns import Footprint, best_pattern
from millhand.stages.layout.ground import Ground
from millhand.trace import Sheet, apply

SLENDER = 2.0  # a round part longer than so many diameters lies, a shorter one stands


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A part as it lies in a tray: the side along which jaws close, the other side, its height, and the gaps."""

    stands_round: bool
    length: Fact
    width: Fact
    height: Fact
    grip_gap: Fact
    other_gap: Fact
    mass: Fact


def pockets(ground: Ground) -> Fact:
    """Parts that the cell holds: the lesser of presenter (raw) and outfeed (finished). Where a part is laid in several
    times, what finished parts the pieces stand for."""
    concept, part = ground.concept, ground.inquiry.parts[0]
    presenter, outfeed = concept.presenter, concept.outfeed
    assert presenter is not None
    assert outfeed is not None
    raw = laid(ground, part, part.raw, part.raw_mass_kg)
    finished = laid(ground, part, part.finished, part.finished_mass_kg)
    both = (places(ground, presenter, raw), places(ground, outfeed, finished))
    limits = tuple(in_finished(ground, fact) for fact in both if fact is not None)
    return apply(ground.sheet, "least", f"concepts.{concept.id}.feasibility.pockets", values=limits)


def in_finished(ground: Ground, pieces: Fact) -> Fact:
    """Finished parts that the pieces of one filling stand for."""
    passes = ground.inquiry.parts[0].operations[0].passes
    if passes is None:
        return pieces
    return apply(ground.sheet, "finished_in_pieces", f"{pieces.id}.finished", pieces=pieces, passes=passes)


def laid(ground: Ground, part: Part, size: Size, mass: Fact) -> Laid:
    """How a part lies, and the gaps that its gripper asks for."""
    gripper = ground.concept.gripper
    assert gripper is not None
    jaws, other = gripper.words["jaws"], ground.figure("other_gap_m")
    grip = other if jaws in ("vacuum", "magnet", "inside") else ground.figure("grip_gap_m")
    if part.shape.value == "round" and size.length_m.value <= SLENDER * size.width_m.value:
        return Laid(
            stands_round=True, length=size.width_m, width=size.width_m, height=size.length_m,
            grip_gap=grip, other_gap=grip if jaws == "centric" else other, mass=mass,
        )  # fmt: skip
    height, width, length = sorted((size.length_m, size.width_m, size.height_m), key=lambda fact: fact.value)
    return Laid(
        stands_round=False, length=width, width=length, height=height, grip_gap=grip, other_gap=other, mass=mass
    )


def places(ground: Ground, component: Component, part: Laid) -> Fact | None:
    """Parts that one component holds; None where it holds none of its own (back to the tray, out of the mould)."""
    gripper = ground.concept.gripper
    assert gripper is not None
    prefix = f"layout.{component.id}.{gripper.words['jaws']}"
    if "tray_length_m" in component.figures:
        return tray_parts(ground, component, part, prefix)
    if "volume_m3" in component.figures:
        return loose_parts(ground.sheet, component, part, prefix)
    if "lane_length_m" in component.figures:
        return lane_parts(ground.sheet, component, part, prefix)
    return None


def tray_parts(ground: Ground, component: Component, part: Laid, prefix: str) -> Fact:
    """Layers of trays, each filled up to its area or its mass."""
    figures, sheet = component.figures, ground.sheet
    area = area_places(sheet, (figures["tray_length_m"], figures["tray_width_m"]), part, prefix)
    mass = apply(
        sheet, "places_by_mass", f"{prefix}.by_mass",
        mass_max_kg=figures["mass_max_kg"], tray_kg=ground.figure("tray_mass_kg"), part_kg=part.mass,
    )  # fmt: skip
    layers = figures["layers"]
    if "drawers_height_m" in figures:
        layers = apply(
            sheet, "stack_layers", f"{prefix}.layers", stand_height_m=figures["drawers_height_m"],
            part_height_m=part.height, extra_m=ground.figure("drawer_pitch_extra_m"), most=figures["layers"],
        )  # fmt: skip
    return apply(sheet, "layered_parts", f"{prefix}.places", layers=layers, places=(area, mass))


def area_places(sheet: Sheet, tray: tuple[Fact, Fact], part: Laid, prefix: str) -> Fact:
    """Places on one tray or lane, in the pattern that holds most."""
    length, width = tray
    shape = Footprint(
        round=part.stands_round, length_m=part.length.value, width_m=part.width.value,
        grip_gap_m=part.grip_gap.value, other_gap_m=part.other_gap.value,
    )  # fmt: skip
    pattern = best_pattern(length.value, width_m=width.value, part=shape)
    if pattern == "tray_places":
        return apply(
            sheet, pattern, f"{prefix}.by_area", length_m=length, width_m=width, part_length_m=part.length,
            part_width_m=part.width, grip_gap_m=part.grip_gap, other_gap_m=part.other_gap,
        )  # fmt: skip
    room = apply(sheet, "difference_m", f"{prefix}.room_length", length_m=length, less_m=part.grip_gap)
    across = apply(sheet, "difference_m", f"{prefix}.room_width", length_m=width, less_m=part.grip_gap)
    wide = apply(sheet, "sum_of_lengths_m", f"{prefix}.pitch", lengths_m=(part.length, part.grip_gap))
    if pattern == "hexagonal_places":
        return apply(sheet, pattern, f"{prefix}.by_area", length_m=room, width_m=across, diameter_m=wide)
    deep = apply(sheet, "sum_of_lengths_m", f"{prefix}.pitch_across", lengths_m=(part.width, part.other_gap))
    return apply(
        sheet, pattern, f"{prefix}.by_area", length_m=room, width_m=across, part_length_m=wide, part_width_m=deep
    )


def loose_parts(sheet: Sheet, component: Component, part: Laid, prefix: str) -> Fact:
    """Parts that lie loose in a hopper or box, up to its volume or its mass."""
    figures = component.figures
    volume = apply(
        sheet, "places_by_volume", f"{prefix}.by_volume", volume_m3=figures["volume_m3"],
        fill_share=figures["fill_share"], length_m=part.length, width_m=part.width, height_m=part.height,
    )  # fmt: skip
    limits = (volume, mass_limit(sheet, component, part, prefix))
    return apply(sheet, "least", f"{prefix}.places", values=limits)


def lane_parts(sheet: Sheet, component: Component, part: Laid, prefix: str) -> Fact:
    """Parts on a conveyor lane, up to its area or its mass."""
    lane = (component.figures["lane_length_m"], component.figures["lane_width_m"])
    area = area_places(sheet, lane, part, prefix)
    limits = (area, mass_limit(sheet, component, part, prefix))
    return apply(sheet, "least", f"{prefix}.places", values=limits)


def mass_limit(sheet: Sheet, component: Component, part: Laid, prefix: str) -> Fact:
    """Parts that a lane, hopper or box carries; nothing else lies on it."""
    return apply(
        sheet, "places_by_mass", f"{prefix}.by_mass", mass_max_kg=component.figures["mass_max_kg"], part_kg=part.mass
    )

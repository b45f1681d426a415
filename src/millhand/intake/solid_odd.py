"""A raw mass that does not go with raw size and material: more than the solid piece, or too little of a cut one."""

import math
from collections.abc import Iterator, Mapping

from millhand.intake.inquiry_sums import place_of, written
from millhand.intake.mesh_odd import millimetres
from millhand.model.inquiry import Inquiry
from millhand.model.odd import Odd
from millhand.model.part import Part

# Both judged, without a source: they ask a question and are in no figure.
OVER = 1.05  # of the solid piece: sizes, densities and scales are not truer than that
# Of a piece by how it was made: sawn off a bar or block it is solid, cut out of sheet it has an outline of its own.
UNDER = {"sawn": 0.9, "blank": 0.4}
SHAPES = ("prismatic", "flat", "round")  # of any other the outer measures say only what it cannot be heavier than
HEAVY = "Is that the mass of one raw part, and are size and material right?"
LIGHT = {
    "sawn": "A sawn piece is solid: is it another material, or a profile, hollow or drilled already? If not, weigh and "
    "measure one, and write that as raw_mass and raw.",
    "blank": "Is it another material, or is the blank hollow or drilled already?",
}


def odd_solid(inquiry: Inquiry, densities: Mapping[str, float]) -> Iterator[Odd]:
    """A written mass against the written size, in a material that was told or assumed; a mesh is asked elsewhere."""
    for part in inquiry.parts:
        density, size, mass = densities.get(part.material.value), part.raw, part.raw_mass_kg
        if density is None or part.mesh is not None or not written(mass, size.length_m, size.width_m, size.height_m):
            continue
        whole = solid_m3(part) * density
        share = mass.value / whole
        light = share < least_of(part) and part.shape.value in SHAPES
        if share <= OVER and not light:
            continue
        sides = millimetres([size.length_m.value, size.width_m.value, size.height_m.value])
        told = part.material.value if written(part.material) else f"{part.material.value}, as assumed,"
        read = (
            f"{part.name}: {mass.value:.3g} kg is given, and {sides} of {told} would weigh {whole:.3g} kg if it were "
            f"solid: {share:.0%} of that."
        )
        asked = LIGHT["sawn" if is_solid(part) else "blank"] if light else HEAVY
        facts = (mass.id, size.length_m.id, size.width_m.id, size.height_m.id, part.material.id)
        code = "lighter_than_cut" if light else "heavier_than_solid"
        yield Odd(code=code, words=f"{read} {asked}", facts=tuple(dict.fromkeys(facts)), where=place_of(mass))


def is_solid(part: Part) -> bool:
    """Whether somebody said that the raw part is sawn off a bar or block; that it is assumed so accuses nobody."""
    return part.condition.value == "sawn" and written(part.condition)


def least_of(part: Part) -> float:
    """The share of the solid piece below which a mass is asked about; 0 where the way it was made says nothing."""
    return UNDER["sawn" if is_solid(part) else "blank"] if part.condition.value in UNDER else 0.0


def solid_m3(part: Part) -> float:
    """Volume inside the outer measures: a cylinder less its bore of a round part, else a box."""
    size = part.raw
    if part.shape.value == "round":
        bore = size.bore_m.value if size.bore_m is not None else 0.0
        return math.pi / 4.0 * (size.width_m.value**2 - bore**2) * size.length_m.value
    return size.length_m.value * size.width_m.value * size.height_m.value

"""Sizes and masses that were given and that the mesh of the part tells otherwise."""

from collections.abc import Iterator

from millhand.intake.inquiry_sums import place_of
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.odd import Odd
from millhand.model.part import Mesh, Part, Size

APART = 0.05  # share by which a given figure may differ from that of the mesh before somebody is asked


def odd_mesh(inquiry: Inquiry) -> Iterator[Odd]:
    """A given size or mass of the state that a mesh shows, more than 5 % away from it."""
    for part in inquiry.parts:
        mesh = part.mesh
        if mesh is None:
            continue
        raw = mesh.state.value == "raw"
        size, mass = (part.raw, part.raw_mass_kg) if raw else (part.finished, part.finished_mass_kg)
        yield from _other_size(part, mesh, size)
        if said(mass, mesh) and mesh.mass_kg is not None and apart(mass.value, mesh.mass_kg.value):
            words = (
                f"{part.name}: {mass.value:.4g} kg is given, and {mesh.file} comes to {mesh.mass_kg.value:.4g} kg of "
                f"{part.material.value}. {asked(mesh)} Is the material right, or is the part hollow or an assembly?"
            )
            yield Odd(code="mesh_mass_other", words=words, facts=(mass.id, mesh.mass_kg.id), where=place_of(mass))


def _other_size(part: Part, mesh: Mesh, size: Size) -> Iterator[Odd]:
    """The question about outer measures; both sorted, as a mesh does not say which side is the length."""
    given = {fact.id: fact for fact in (size.length_m, size.width_m, size.height_m)}
    if not any(said(fact, mesh) for fact in given.values()):
        return
    own = sorted((size.length_m.value, size.width_m.value, size.height_m.value), reverse=True)
    box = [fact.value for fact in (mesh.box.length_m, mesh.box.width_m, mesh.box.height_m)]
    if any(apart(one, other) for one, other in zip(own, box, strict=True)):
        words = f"{part.name}: {millimetres(own)} is given, and {mesh.file} measures {millimetres(box)}. {asked(mesh)}"
        where = place_of(next(fact for fact in given.values() if said(fact, mesh)))
        yield Odd(code="mesh_size_other", words=words, facts=(*given, mesh.box.length_m.id), where=where)


def said(fact: Fact, mesh: Mesh) -> bool:
    """Whether somebody said a figure: it is neither assumed nor that of the mesh itself."""
    return fact.basis != "assumed" and not fact.source.startswith(f"{mesh.file}, mesh")


def apart(given: float, other: float) -> bool:
    """Whether two figures differ by more than 5 % of that of the mesh."""
    return abs(given - other) > APART * other


def asked(mesh: Mesh) -> str:
    """The questions that explain most such differences."""
    return f"Is mesh_unit {mesh.unit.value} right, and does the mesh show the {mesh.state.value} part?"


def millimetres(sides: list[float]) -> str:
    """Three measures in mm."""
    return f"{' x '.join(f'{side * 1000:.4g}' for side in sides)} mm"

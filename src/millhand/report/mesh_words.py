"""What the meshes of an inquiry say, in one sentence a part."""

from collections.abc import Iterator

from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.part import Mesh


def mesh_sentences(inquiry: Inquiry) -> Iterator[str]:
    """Extents, least box, volume, mass, centre of gravity and likely grip faces of each part with a mesh."""
    for part in inquiry.parts:
        if part.mesh is not None:
            yield f"{part.name}, {part.mesh.file} ({part.mesh.state.value} part): {'; '.join(_pieces(part.mesh))}."


def _pieces(mesh: Mesh) -> Iterator[str]:
    """The pieces of the sentence; what cannot be known is said."""
    yield f"{_millimetres(mesh.along_x_m, mesh.along_y_m, mesh.along_z_m)} as it lies in the file"
    yield f"least box {_millimetres(mesh.box.length_m, mesh.box.width_m, mesh.box.height_m)}"
    if mesh.volume_m3 is None:
        yield "not closed, so no volume, mass, centre of gravity or grip faces"
        return
    yield f"volume {mesh.volume_m3.value * 1e6:.4g} cm3"
    yield f"mass {mesh.mass_kg.value:.4g} kg" if mesh.mass_kg is not None else "no mass, as nobody said the material"
    if mesh.centre_x_m is not None and mesh.centre_y_m is not None and mesh.centre_z_m is not None:
        yield f"centre of gravity at {_millimetres(mesh.centre_x_m, mesh.centre_y_m, mesh.centre_z_m, apart=', ')}"
    if mesh.grip_m is None or mesh.grip_area_m2 is None:
        yield "no two flat faces look away from each other"
        return
    yield f"likely grip faces {mesh.grip_m.value * 1000:.4g} mm apart, {mesh.grip_area_m2.value * 1e4:.4g} cm2 each"


def _millimetres(*facts: Fact, apart: str = " x ") -> str:
    """Lengths in mm."""
    return f"{apart.join(f'{round(fact.value * 1000, 3) + 0.0:g}' for fact in facts)} mm"

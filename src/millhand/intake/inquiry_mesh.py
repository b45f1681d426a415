"""The mesh that a part of an inquiry names: read, held against what it needs, and the facts that stand in for gaps."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path, PurePosixPath
from typing import Any

from millhand.intake.form import Entry, Word
from millhand.intake.form_part import MESH, MESH_UNITS_M, PARTS
from millhand.intake.inquiry_evidence import file_trouble
from millhand.intake.inquiry_facts import choice_of
from millhand.intake.inquiry_groups import Spot, entries_at, only
from millhand.intake.inquiry_opened import Opened, child
from millhand.intake.mesh_shape import KINDS, MeshShape, shape_in
from millhand.intake.mesh_step import STEP_KINDS, NoReader
from millhand.intake.yaml_tree import Node
from millhand.model.fact import Choice, Fact
from millhand.model.part import Mesh, Size

LEAST_M, MOST_M = 1e-4, 20.0  # the limits of an outer measure
LEAST_KG, MOST_KG = 1e-6, 5000.0
MATERIAL = next(entry for entry in PARTS.entries if isinstance(entry, Word) and entry.key == "material")
GUESS = "a guess: the largest pair of flat faces that look away from each other; whether jaws reach them is not seen"


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What a mesh says: the record, and by key the facts that stand in for what the file does not give."""

    mesh: Mesh | None = None
    gaps: Mapping[str, Fact] = field(default_factory=dict)
    told: tuple[str, ...] = ()  # keys that the mesh stands for, or whose lack was said with it

    def form(self, entry: Entry) -> Entry:
        """The entry, without asking for what the mesh stands for."""
        return replace(entry, gap="none") if entry.key in self.told else entry


def seen_in(spot: Spot, folder: Path, opened: Opened) -> Seen:
    """The mesh of one part; nothing where it names none. What is wrong with it is noted."""
    node = child(spot.table, "mesh")
    own = entries_at(MESH, replace(spot, table=only(spot.table, MESH)), opened)
    if node is None:
        for key in ("mesh_unit", "mesh_is"):
            if (beside := child(spot.table, key)) is not None:
                opened.bad_node(beside, "the file as 'mesh' beside it, or nothing", "mesh_without_file")
        return Seen()
    unit_node = child(spot.table, "mesh_unit")
    if kind_of(own["file"]) in STEP_KINDS:
        own = own | {"unit": _own_unit(own["file"], spot)}
        if unit_node is not None:
            opened.bad_node(
                unit_node, "nothing: a STEP file says itself what its lengths are counted in", "mesh_own_unit"
            )
    elif unit_node is None:
        opened.bad(spot.where, f"no {spot.place.id}.mesh_unit", f"mesh_unit: {' | '.join(MESH_UNITS_M)} "
                   "(the file does not say what its lengths are counted in)", "mesh_no_unit")  # fmt: skip
    state = own["state"] or _raw(spot)
    told = (state.value, f"{state.value}_mass") if state.value == "raw" else ()
    shape = _shape(own["file"], folder, spot, opened)
    if shape is None or own["unit"] is None:
        return Seen(told=told)
    scale = MESH_UNITS_M[own["unit"].value]
    if not all(LEAST_M <= side * scale <= MOST_M for side in shape.box):
        sides = " x ".join(f"{side * scale:.4g}" for side in shape.box)
        write = f"another mesh_unit: the part would measure {sides} m, and 0.1 mm to 20 m can be"
        opened.bad_node(unit_node or node, write, "mesh_size")
        return Seen(told=told)
    mesh = _mesh(shape, own | {"state": state}, spot, _density(spot, opened))
    _complain(mesh, shape, spot, opened)
    return Seen(mesh=mesh, gaps=dict(_gaps(mesh, shape, spot)), told=told)


def kind_of(file: str) -> str:
    """What a file is by its name.

    >>> kind_of("parts/Bracket.STEP")
    'step'
    """
    return PurePosixPath(file or "").suffix.lower().removeprefix(".")


def _own_unit(file: str, spot: Spot) -> Choice:
    """The unit in which the lengths of a STEP file come, whatever it was drawn in."""
    return Choice(
        id=spot.place.down("mesh_unit").id, value="m", options=tuple(MESH_UNITS_M), basis="given",
        source=f"{file}, which names its own unit", title=MESH[1].help,
    )  # fmt: skip


def _raw(spot: Spot) -> Choice:
    """What a mesh is taken to show where nobody says it."""
    return Choice(
        id=spot.place.down("mesh_is").id, value="raw", options=("raw", "finished"), basis="assumed",
        source="judged for the class, no source", title=MESH[2].help,
        question="Does the mesh show the raw or the finished part?",
    )  # fmt: skip


def _shape(file: str, folder: Path, spot: Spot, opened: Opened) -> MeshShape | None:
    """The figures of the file; None, and noted, where it cannot be used."""
    node = child(spot.table, "mesh")
    if not file or node is None:
        return None
    kind = kind_of(file)
    trouble = file_trouble(file, folder)
    if trouble is not None:
        opened.bad_node(node, trouble[0].replace("photos/door.jpg", "meshes/bracket.stl"),
                        trouble[1].replace("evidence", "mesh"))  # fmt: skip
    elif kind not in KINDS:
        opened.bad_node(node, "a file .stl, .obj or .step; other kinds must be saved as one of them", "mesh_kind")
    else:
        return _read(folder / file, kind, node, opened)
    return None


def _read(path: Path, kind: str, node: Node, opened: Opened) -> MeshShape | None:
    """The figures of a file that is there; None, and noted, where it cannot be read."""
    try:
        shape = shape_in(path.read_bytes(), kind)
    except NoReader as missing:
        write = f"the part saved as STL or OBJ, or install what reads STEP: {missing}"
        opened.bad_node(node, write, "mesh_no_reader")
        return None
    if shape is None:
        opened.bad_node(node, f"a file with triangles that can be read as {kind.upper()}", "mesh_not_read")
    return shape


def _density(spot: Spot, opened: Opened) -> tuple[float, str] | None:
    """Density and where it comes from; None where nobody said the material, or it is none of the known."""
    aside = replace(opened, errors=[], before=[])
    material = choice_of(MATERIAL, child(spot.table, "material"), spot.place.down("material"), aside)
    if material is None or material.basis == "assumed" or material.value == "other":
        return None
    place = replace(spot.place, key=f"{spot.place.key}.mesh.density").told(material.value)
    row = opened.assumption(place)
    return (row.value, row.source) if row is not None and row.value is not None else None


def _mesh(shape: MeshShape, own: Mapping[str, Any], spot: Spot, density: tuple[float, str] | None) -> Mesh:
    """The record in SI."""
    scale, place, source = MESH_UNITS_M[own["unit"].value], spot.place.down("mesh"), f"{own['file']}, mesh"

    def fact(key: str, value: float | None, words: str, *, power: int = 1, note: str | None = None) -> Any:
        title = f"{words} ({spot.place.id.rpartition('.')[2].replace('_', ' ')})"
        unit = ("kg", "m", "m2", "m3")[power]
        return None if value is None else Fact(
            id=place.down(key).id, value=value * scale**power, unit=unit, basis="measured", source=source, title=title,
            note=note,
        )  # fmt: skip

    box = {f"{side}_m": fact(f"box.{side}", value, f"{side} of the least box about the mesh")
           for side, value in zip(("length", "width", "height"), shape.box, strict=True)}  # fmt: skip
    along = {f"along_{axis}_m": fact(f"along_{axis}", value, f"extent of the mesh along {axis}")
             for axis, value in zip("xyz", shape.extents, strict=True)}  # fmt: skip
    centre = {f"centre_{axis}_m": fact(f"centre_{axis}", value, f"centre of gravity of the mesh along {axis}")
              for axis, value in zip("xyz", shape.centre or (None,) * 3, strict=True)}  # fmt: skip
    volume_m3 = shape.volume * scale**3 if shape.volume is not None else None
    mass = volume_m3 * density[0] if volume_m3 is not None and density is not None else None
    note = f"{volume_m3:.4g} m3 x {density[0]:g} kg/m3, {density[1]}" if volume_m3 and density else None
    distance, area = shape.grip or (None, None)
    return Mesh(
        **own, **along, **centre, box=Size(**box),
        volume_m3=fact("volume", shape.volume, "volume of the mesh", power=3),
        mass_kg=fact("mass", mass, "mass of the mesh", power=0, note=note),
        grip_m=fact("grip", distance, "distance of the likely grip faces", note=GUESS),
        grip_area_m2=fact("grip_area", area, "area of the smaller grip face", power=2),
    )  # fmt: skip


def _complain(mesh: Mesh, shape: MeshShape, spot: Spot, opened: Opened) -> None:
    """Say what a mesh of the raw part cannot stand in for, where the file leaves it out."""
    node, id_ = child(spot.table, "mesh"), spot.place.id
    if node is None or mesh.state.value != "raw":
        return
    round_part = getattr(child(spot.table, "shape"), "text", "") == "round"
    if child(spot.table, "raw") is None and round_part and shape.turned is None:
        opened.bad_node(
            node, "raw: 60 dia x 120 mm beside it, or another shape: the mesh is not round about an axis of its box",
            "mesh_not_round",
        )  # fmt: skip
    if child(spot.table, "raw_mass") is not None or f"{id_}.raw_mass" in opened.judged:
        return
    if shape.volume is None:
        opened.bad_node(
            node, "a mesh without holes and with all faces looking out, or raw_mass beside it: "
            "what is not closed has no volume", "mesh_open",
        )  # fmt: skip
    elif mesh.mass_kg is None:
        known = " | ".join(word for word in MATERIAL.options if word != "other")
        opened.bad_node(node, f"material: {known}, or raw_mass beside it: a mesh alone has no mass", "mesh_no_material")
    elif not LEAST_KG <= mesh.mass_kg.value <= MOST_KG:
        write = f"another mesh_unit, or raw_mass beside it: the part would weigh {mesh.mass_kg.value:.4g} kg"
        opened.bad_node(node, write, "mesh_mass")


def _gaps(mesh: Mesh, shape: MeshShape, spot: Spot) -> Iterator[tuple[str, Fact]]:
    """By key the facts that stand in: outer measures of a box or of a round part, and the mass."""
    state, scale = mesh.state.value, MESH_UNITS_M[mesh.unit.value]
    round_part = getattr(child(spot.table, "shape"), "text", "") == "round"
    facts = {"length": mesh.box.length_m, "width": mesh.box.width_m, "height": mesh.box.height_m}
    if round_part:
        facts = {}
        for key, value in zip(("diameter", "length"), shape.turned or (), strict=False):
            facts[key] = replace(mesh.box.length_m, value=value * scale)
    for key, fact in facts.items():
        yield f"{state}.{key}", replace(fact, id=spot.place.down(state).down(key).id)
    if mesh.mass_kg is not None and LEAST_KG <= mesh.mass_kg.value <= MOST_KG:
        yield f"{state}_mass", replace(mesh.mass_kg, id=spot.place.down(f"{state}_mass").id)

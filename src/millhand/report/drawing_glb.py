"""A placed cell as a binary glTF file, to be turned about in any viewer: metres, y up, one node for each solid.

The layers are told apart by grey value as well as by colour.
"""

from collections import Counter
from collections.abc import Sequence
from typing import Any

from millhand.report.solids import Box, Solid

COLOURS = {  # red, green, blue, opacity, 0 to 255
    "machines": (196, 204, 212, 255),
    "obstacles": (120, 112, 108, 255),
    "stands": (222, 206, 170, 255),
    "pulled out": (222, 206, 170, 140),
    "track": (90, 98, 106, 255),
    "beam": (90, 98, 106, 255),
    "columns": (120, 112, 108, 255),
    "arm": (47, 93, 124, 255),
    "reach": (164, 73, 26, 255),
    "fence": (40, 44, 48, 255),
    "people": (150, 170, 130, 255),
}
ROUND = 24  # sides of a round post
UP = ((1.0, 0.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, -1.0, 0.0, 0.0), (0.0, 0.0, 0.0, 1.0))  # z up to y up


def drawing_glb(things: Sequence[Solid]) -> bytes:
    """The bytes of the file; the same for the same solids."""
    import trimesh

    scene: Any = trimesh.Scene()
    for name, thing in zip(names(things), things, strict=True):
        mesh = mesh_of(thing)
        mesh.visual = look(thing.layer)
        scene.add_geometry(mesh, node_name=name, geom_name=name)
    scene.apply_transform(UP)
    return bytes(scene.export(file_type="glb"))


def look(layer: str) -> Any:
    """How the solids of a layer look."""
    from trimesh.visual import material, texture

    visuals: Any = texture.TextureVisuals  # untyped in the library
    matter: Any = material.PBRMaterial
    return visuals(
        material=matter(
            name=layer, baseColorFactor=COLOURS[layer], metallicFactor=0.0, roughnessFactor=0.9,
            alphaMode="OPAQUE" if COLOURS[layer][3] == 255 else "BLEND",
        )
    )  # fmt: skip


def names(things: Sequence[Solid]) -> tuple[str, ...]:
    """A name for each node; of a thing in several pieces each with its number.

    >>> box = Box(name="fence", layer="fence", middle=(0.0, 0.0, 0.0), sides=(1.0, 1.0, 1.0))
    >>> names((box, box))
    ('fence, piece 1', 'fence, piece 2')
    """
    whole, seen = Counter(thing.name for thing in things), Counter[str]()
    found = []
    for thing in things:
        seen[thing.name] += 1
        found.append(thing.name if whole[thing.name] == 1 else f"{thing.name}, piece {seen[thing.name]}")
    return tuple(found)


def mesh_of(thing: Solid) -> Any:
    """One solid as triangles."""
    import trimesh

    if isinstance(thing, Box):
        mesh = trimesh.creation.box(extents=thing.sides)
        mesh.apply_translation(thing.middle)
        return mesh
    return trimesh.creation.cylinder(radius=thing.radius, segment=thing.ends, sections=ROUND)

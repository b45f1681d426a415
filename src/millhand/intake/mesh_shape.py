"""What the mesh of a part says about it: extents, the least box, volume, centre of gravity, a guess at grip faces.

Lengths are in the file's own unit, of a STEP file in metres. Nothing but the bytes of one file is read: no materials,
no pictures beside it.
"""

import io
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from millhand.intake.mesh_step import STEP_KINDS, glb_of

if TYPE_CHECKING:
    from trimesh import Trimesh

Numbers = npt.NDArray[np.float64]
Triple = tuple[float, float, float]

KINDS = ("stl", "obj", *STEP_KINDS)
MOST_HULL = 3000  # triangles of the convex hull up to which the least box is looked for
AS_IN_FILE = 1.01  # a least box that is smaller by less than this leaves the part as it lies in its file
ROUND = 1.04  # across the corners over across the flats: a polygon of twelve sides is round, one of eight is not
FLAT_RAD = 2e-3  # neighbours that differ by less lie in one face
CURVED_RAD = math.radians(20.0)  # neighbours that differ by less may be pieces of one curved face
OPPOSITE = math.cos(math.radians(0.5))
MOST_FACES = 200  # largest flat faces among which the grip faces are looked for


@dataclass(frozen=True, slots=True, kw_only=True)
class MeshShape:
    """A mesh in figures of its own unit; volume and centre are None where it has holes or faces turned over."""

    extents: Triple  # along the axes of the file
    box: Triple  # of the least box found, longest first
    turned: tuple[float, float] | None  # diameter and length of a round part; None: not round about an axis of its box
    volume: float | None
    centre: Triple | None  # of gravity, of even density, from the origin of the file
    grip: tuple[float, float] | None  # distance of the likely grip faces, and the area of the smaller of the two


def shape_in(data: bytes, kind: str) -> MeshShape | None:
    """The figures of an STL, OBJ or STEP file; None where it holds no triangles that can be read.

    Raises NoReader for a STEP file where the library for it is not installed.
    """
    mesh = _mesh(data, kind)
    if mesh is None:
        return None
    points, box = _boxed(mesh)
    closed = bool(mesh.is_watertight and mesh.is_winding_consistent) and mesh.volume != 0.0
    if closed and mesh.volume < 0.0:
        mesh.invert()  # a file with all its faces looking inwards is as good
    return MeshShape(
        extents=_triple(np.ptp(mesh.vertices, axis=0)),
        box=_triple(np.sort(box)[::-1]),
        turned=_turned(points),
        volume=float(mesh.volume) if closed else None,
        centre=_triple(mesh.center_mass) if closed else None,
        grip=_grip(mesh) if closed else None,
    )


def _triple(values: Any) -> Triple:
    """Three plain numbers."""
    return float(values[0]), float(values[1]), float(values[2])


def _mesh(data: bytes, kind: str) -> "Trimesh | None":
    """The triangles of a file, corners at one place made one."""
    import trimesh

    options: dict[str, Any] = {"skip_materials": True} if kind == "obj" else {}
    if kind in STEP_KINDS:
        data, kind = glb_of(data), "glb"
    try:
        mesh = trimesh.load(io.BytesIO(data), file_type=kind, force="mesh", **options)
    except Exception:  # the library raises whatever its parsers happen to meet
        return None
    if not isinstance(mesh, trimesh.Trimesh) or not len(mesh.faces) or not np.isfinite(mesh.vertices).all():
        return None
    mesh.merge_vertices(merge_tex=True, merge_norm=True)
    mesh.update_faces(mesh.nondegenerate_faces())
    return mesh if len(mesh.faces) else None


def _boxed(mesh: "Trimesh") -> tuple[Numbers, Numbers]:
    """The corners in the frame of the least box, or of the file where that is as small, and the extents there."""
    import trimesh

    own = np.asarray(mesh.vertices, dtype=np.float64)
    extents = np.ptp(own, axis=0)
    if extents.min() <= 0.0 or len(mesh.convex_hull.faces) > MOST_HULL:
        return own, extents
    to_origin, _ = trimesh.bounds.oriented_bounds(mesh, angle_digits=2)  # type: ignore[no-untyped-call]
    turned = np.asarray(trimesh.transform_points(own, to_origin), dtype=np.float64)
    least = np.ptp(turned, axis=0)
    return (own, extents) if extents.prod() <= AS_IN_FILE * least.prod() else (turned, least)


def _turned(points: Numbers) -> tuple[float, float] | None:
    """Diameter and length where all corners lie in a cylinder that touches the box on its sides."""
    low, high = points.min(axis=0), points.max(axis=0)
    extents, off = high - low, points - (low + high) / 2.0
    found = []
    for axis in range(3):
        across = [other for other in range(3) if other != axis]
        diameter = 2.0 * float(np.hypot(*off[:, across].T).max())
        least = float(extents[across].min())
        if least > 0.0 and diameter <= ROUND * least:
            found.append((diameter / least, diameter, float(extents[axis])))
    return min(found)[1:] if found else None


def _grip(mesh: "Trimesh") -> tuple[float, float] | None:
    """The two flat faces that look away from each other with the largest area that both have; None without such."""
    areas, normals, places = _flat_faces(mesh)
    against = normals @ normals.T <= -OPPOSITE
    apart = (places @ normals.T).diagonal()[:, None] - normals @ places.T  # of the other's middle, along own normal
    both = np.where(against & (apart > 0.0), np.minimum(areas[:, None], areas[None, :]), 0.0)
    if not both.size or both.max() <= 0.0:
        return None
    level = both >= both.max() * (1.0 - 1e-6)  # of pairs alike the nearest: a hand opens less for it
    distance = float(np.where(level, apart, np.inf).min())
    return distance, float(both.max())


def _flat_faces(mesh: "Trimesh") -> tuple[Numbers, Numbers, Numbers]:
    """Area, normal and middle of each of the largest flat faces; strips of curved faces are left out."""
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components

    pairs, angles, count = mesh.face_adjacency, mesh.face_adjacency_angles, len(mesh.faces)
    level = pairs[angles < FLAT_RAD]
    graph = coo_matrix((np.ones(len(level)), (level[:, 0], level[:, 1])), shape=(count, count))
    faces, face_of = connected_components(graph, directed=False)
    areas: Numbers = np.bincount(face_of, weights=mesh.area_faces, minlength=faces).astype(np.float64)
    normals, places = (
        np.stack([np.bincount(face_of, weights=mesh.area_faces * column, minlength=faces) for column in values.T], 1)
        for values in (mesh.face_normals, mesh.triangles_center)
    )
    bent = face_of[pairs[(angles >= FLAT_RAD) & (angles < CURVED_RAD)]].reshape(-1, 2)
    curved = np.zeros(faces, dtype=bool)
    for one, other in (bent.T, bent.T[::-1]):
        curved[one[areas[other] >= 0.5 * areas[one]]] = True
    chosen = np.flatnonzero(~curved)
    chosen = chosen[np.argsort(-areas[chosen], kind="stable")][:MOST_FACES]
    lengths = np.linalg.norm(normals[chosen], axis=1, keepdims=True)
    return areas[chosen], normals[chosen] / lengths, places[chosen] / areas[chosen][:, None]

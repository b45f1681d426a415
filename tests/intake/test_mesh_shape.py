"""Figures of meshes against closed forms, and against sums over their triangles made another way."""

import math

import numpy as np
import pytest
import trimesh
from trimesh.creation import annulus, box, cylinder, icosphere
from trimesh.transformations import euler_matrix

from millhand.intake.mesh_shape import MeshShape, shape_in

TURN = euler_matrix(0.3, 0.5, 0.7)
SINGLE = 1e-6  # STL counts in single precision


def written(mesh: trimesh.Trimesh, kind: str = "stl") -> bytes:
    """The mesh as the bytes of a file."""
    data = mesh.export(file_type=kind)
    return data if isinstance(data, bytes) else data.encode()


def shape(mesh: trimesh.Trimesh, kind: str = "stl") -> MeshShape:
    """What is read of the mesh."""
    found = shape_in(written(mesh, kind), kind.partition("_")[0])
    assert found is not None
    return found


def moved(mesh: trimesh.Trimesh, x: float, y: float, z: float) -> trimesh.Trimesh:
    """The mesh turned about all axes, and then shifted."""
    mesh.apply_transform(TURN)
    mesh.apply_translation((x, y, z))
    return mesh


def polygon(sides: int, radius: float) -> float:
    """The area of a regular polygon in a circle."""
    return sides / 2.0 * radius**2 * math.sin(2.0 * math.pi / sides)


def by_divergence(mesh: trimesh.Trimesh) -> tuple[float, np.ndarray]:
    """Volume and centre of gravity as sums over the pyramids from the origin to each triangle."""
    a, b, c = (mesh.vertices[mesh.faces[:, corner]] for corner in range(3))
    sixth = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6.0
    return float(sixth.sum()), (sixth[:, None] * (a + b + c) / 4.0).sum(axis=0) / sixth.sum()


@pytest.mark.parametrize("kind", ["stl", "stl_ascii", "obj"])
def test_a_box_is_its_own_least_box(kind: str) -> None:
    """Also turned and shifted: sides, volume, centre, and the largest pair of faces, which lie nearest."""
    found = shape(moved(box((120.0, 80.0, 40.0)), 300.0, -50.0, 7.0), kind)

    assert found.box == pytest.approx((120.0, 80.0, 40.0), rel=SINGLE)
    assert found.volume == pytest.approx(384_000.0, rel=SINGLE)
    assert found.centre == pytest.approx((300.0, -50.0, 7.0), rel=1e-5)
    assert found.grip == pytest.approx((40.0, 9600.0), rel=1e-5)
    assert found.extents == pytest.approx(np.abs(TURN[:3, :3]) @ (120.0, 80.0, 40.0), rel=SINGLE)
    assert found.turned is None


@pytest.mark.parametrize("sides", [12, 32, 64])
def test_a_cylinder_is_round(sides: int) -> None:
    """Its diameter is that of the circle through the corners; its ends are the pair of faces, however long it is."""
    found = shape(moved(cylinder(radius=30.0, height=2500.0, sections=sides), 10.0, 20.0, 30.0))

    assert found.turned == pytest.approx((60.0, 2500.0), rel=1e-5)
    assert found.volume == pytest.approx(polygon(sides, 30.0) * 2500.0, rel=1e-5)
    if sides > 18:  # neighbours bend by less than 20 degrees: strips, not faces
        assert found.grip == pytest.approx((2500.0, polygon(sides, 30.0)), rel=1e-5)


def test_a_prism_of_eight_sides_is_not_round() -> None:
    """Across its corners it is 8 % wider than across its flats."""
    assert shape(cylinder(radius=30.0, height=100.0, sections=8)).turned is None


def test_a_hollow_cylinder_lacks_its_bore() -> None:
    """Volume and end faces are those of the ring."""
    ring = polygon(64, 30.0) - polygon(64, 20.0)
    found = shape(annulus(r_min=20.0, r_max=30.0, height=50.0, sections=64))

    assert found.turned == pytest.approx((60.0, 50.0), rel=1e-5)
    assert found.volume == pytest.approx(ring * 50.0, rel=1e-5)
    assert found.grip == pytest.approx((50.0, ring), rel=1e-5)


def test_volume_and_centre_by_the_divergence_theorem() -> None:
    """A step of two boxes without a common face inside: the sums over pyramids, and the closed form."""
    outline = [(0, 0), (100, 0), (100, 20), (30, 20), (30, 60), (0, 60)]
    corners = np.array([(x, y, z) for z in (0.0, 25.0) for x, y in outline], dtype=float)
    caps = [(0, 1, 2), (0, 2, 3), (0, 3, 4), (0, 4, 5)]
    sides = [t for i in range(6) for j in [(i + 1) % 6] for t in ((i, j, j + 6), (i, j + 6, i + 6))]
    faces = [*(cap[::-1] for cap in caps), *(tuple(i + 6 for i in cap) for cap in caps), *sides]
    step = trimesh.Trimesh(corners, faces, process=False)
    volume, centre = by_divergence(moved(step, 500.0, 300.0, -200.0))
    found = shape(step)

    assert volume == pytest.approx((100 * 20 + 30 * 40) * 25.0, rel=1e-9)
    assert found.volume == pytest.approx(volume, rel=1e-5)
    assert found.centre == pytest.approx(tuple(centre), rel=1e-5)
    assert found.grip == pytest.approx((25.0, 3200.0), rel=1e-5)


def test_a_mesh_with_a_hole_has_sides_and_no_volume() -> None:
    """One triangle of twelve is missing."""
    open_box = box((120.0, 80.0, 40.0))
    open_box.update_faces(np.arange(11))
    found = shape(open_box)

    assert found.box == (120.0, 80.0, 40.0)
    assert (found.volume, found.centre, found.grip) == (None, None, None)


def test_faces_that_do_not_look_the_same_way_round_have_no_volume() -> None:
    """One triangle turned over: closed, and still nothing can be said. All of them turned over: as good as before."""
    mesh = box((120.0, 80.0, 40.0))
    mesh.faces[0] = mesh.faces[0][::-1]
    inwards = box((120.0, 80.0, 40.0))
    inwards.invert()

    assert shape(mesh, "obj").volume is None
    assert shape(inwards, "obj") == shape(box((120.0, 80.0, 40.0)), "obj")


def test_curved_faces_are_no_grip_faces() -> None:
    """A ball has none at all; rounded edges do not take a flat face away."""
    assert shape(icosphere(subdivisions=3)).grip is None
    rounded = trimesh.convex.convex_hull(
        np.concatenate([icosphere(subdivisions=3, radius=3.0).vertices + np.multiply(at, (57.0, 37.0, 17.0))
                        for at in np.ndindex(2, 2, 2) for at in [np.array(at) * 2 - 1]])
    )  # fmt: skip
    found = shape(rounded)

    assert found.grip is not None
    assert found.grip[0] == pytest.approx(40.0, rel=1e-5)


@pytest.mark.parametrize("kind", ["stl", "obj"])
@pytest.mark.parametrize("data", [b"", b"words", b"\0" * 200, b"v 1 2 nan\nv 1 2 3\nv 2 2 2\nf 1 2 3\n"])
def test_what_holds_no_triangles_is_refused(data: bytes, kind: str) -> None:
    """Nothing, words, zeros, corners that are no numbers."""
    assert shape_in(data, kind) is None


def test_an_obj_reads_no_file_beside_it() -> None:
    """A library of materials that is named is left alone."""
    data = b"mtllib ../other.mtl\nusemtl red\n" + written(box((1.0, 2.0, 3.0)), "obj")
    found = shape_in(data, "obj")

    assert found is not None
    assert found.volume == pytest.approx(6.0)

"""A solid between two heights: closed forms, steps between neighbours, walls, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from closed import creases, faults, heights
from draws import draws
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.height_mesh import height_mesh
from bladegeom.meshes.plan import Block, Field
from bladegeom.quantities.solid_errors import MeshError
from bladegeom.solids.mesh import Corners, Mesh

SQUARE = shapely.box(0.0, 0.0, 10.0, 10.0)


def flat(height: float, surface: int = 0) -> Field:
    return lambda x, _: (np.full(len(x), height), np.full(len(x), surface))


def disc(radius: float, chord: float = 0.001) -> shapely.Polygon:
    return shapely.Point(0.0, 0.0).buffer(radius, quad_segs=int(np.ceil(np.pi / 4 / np.arccos(1 - chord / radius))))


def test_a_plate_is_eight_corners_and_twelve_triangles() -> None:
    mesh = height_mesh([Block(region=SQUARE, upper=flat(2.0))], 0.02)
    assert (len(mesh.vertices), len(mesh.triangles)) == (8, 12)
    assert mesh.moments.amount == pytest.approx(400.0)
    assert faults(mesh) == []
    assert len(np.unique(mesh.patches)) == 6  # two faces, and four walls that meet in corners


def test_a_round_wall_is_one_smooth_surface() -> None:
    """Source: the direction out of a cylinder at a place is that from its axis to the place."""
    mesh = height_mesh([Block(region=disc(5.0), upper=flat(2.0))], 0.02)
    assert len(np.unique(mesh.patches)) == 3
    wall = mesh.triangles[np.abs(mesh.normals[:, 0, 2]) < 0.5]
    out = mesh.vertices[wall][..., :2] / 5.0
    assert mesh.normals[np.abs(mesh.normals[:, 0, 2]) < 0.5][..., :2] == pytest.approx(out, abs=5e-4)


@pytest.mark.parametrize("tolerance", [0.1, 0.02, 0.005])
def test_a_dome_holds_what_its_closed_form_says(tolerance: float) -> None:
    """Source: a paraboloid of height h over a disc of radius r holds pi r^2 h / 2."""
    radius, height = 8.0, 3.0

    def dome(x: FloatArray, y: FloatArray) -> tuple[FloatArray, Corners]:
        return np.maximum(height * (1 - (x**2 + y**2) / radius**2), 0.0), np.zeros(len(x), dtype=np.int64)

    region = disc(radius)
    mesh = height_mesh([Block(region=region, upper=dome, lower=flat(0.0))], tolerance)
    assert faults(mesh) == []
    assert mesh.moments.amount == pytest.approx(np.pi * radius**2 * height / 2, rel=0.02 * tolerance + 2e-4)
    assert not (np.abs(mesh.normals[:, :, 2]) < 0.1).any(), "no wall stands where the dome comes down to its foot"
    xy = np.random.default_rng(1).uniform(-radius, radius, (3000, 2))
    xy = xy[np.hypot(*xy.T) < radius - 0.01]
    # At its very foot the dome is thinner than the tolerance, and there may be none of it.
    z = np.nan_to_num(heights(mesh, xy, up=True))
    assert np.abs(z - dome(*xy.T)[0]).max() <= tolerance


@draws(50)
@given(st.floats(0.3, 3.0), st.floats(-0.5, 0.5), st.floats(0.005, 0.1))
def test_a_crease_is_found_wherever_it_runs(slope: float, turn: float, tolerance: float) -> None:
    """A ridge roof on a slant: both of its faces are planes, so that the mesh is exact and the ridge is an edge."""
    c, s = np.cos(turn), np.sin(turn)

    def off(x: FloatArray, y: FloatArray) -> FloatArray:
        return np.asarray(c * (x - 5.0) + s * (y - 5.0))

    def roof(x: FloatArray, y: FloatArray) -> tuple[FloatArray, Corners]:
        laws = np.stack([10.0 - slope * off(x, y), 10.0 + slope * off(x, y)])
        return laws.min(axis=0), laws.argmin(axis=0)

    mesh = height_mesh([Block(region=SQUARE, upper=roof, lower=flat(-12.0))], tolerance)
    assert faults(mesh) == []
    corners = np.array(SQUARE.exterior.coords)[:-1]
    halves = shapely.get_parts(
        shapely.ops.split(SQUARE, ridge := shapely.LineString([(5 + 20 * s, 5 - 20 * c), (5 - 20 * s, 5 + 20 * c)]))
    )
    expected = sum(half.area * (22.0 - slope * abs(off(*np.array(half.centroid.coords).T)[0])) for half in halves)
    assert mesh.moments.amount == pytest.approx(expected, rel=1e-5)
    assert (
        shapely.hausdorff_distance(ridge.intersection(SQUARE), creases(mesh).intersection(SQUARE.buffer(-0.01))) < 0.05
    )
    assert len(corners) == 4


def pocketed(floor: float, upper: float = 2.0) -> Mesh:
    pocket = shapely.box(3.0, 3.0, 7.0, 7.0)
    around = Block(region=SQUARE.difference(pocket), upper=flat(upper), lower=flat(-1.0))
    return height_mesh([around, Block(region=pocket, upper=flat(floor, 1), lower=flat(-1.0))], 0.02)


def test_neighbours_of_different_heights_have_a_wall_between_them() -> None:
    mesh = pocketed(0.5)
    assert faults(mesh) == []
    assert mesh.moments.amount == pytest.approx(300.0 - 16.0 * 1.5)
    assert pocketed(3.5).moments.amount == pytest.approx(300.0 + 16.0 * 1.5)


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("under", [-2.5, 0.5])
def test_it_stands_out_or_is_sunk_below_too_whichever_comes_first(under: float, *, turned: bool) -> None:
    pocket = shapely.box(3.0, 3.0, 7.0, 7.0)
    blocks = [
        Block(region=SQUARE.difference(pocket), upper=flat(2.0), lower=flat(-1.0)),
        Block(region=pocket, upper=flat(2.0), lower=flat(under, 1)),
    ]
    mesh = height_mesh(blocks[::-1] if turned else blocks, 0.02)
    assert faults(mesh) == []
    assert mesh.moments.amount == pytest.approx(300.0 - 16.0 * (1.0 + under))


def test_a_pocket_down_to_the_other_side_is_a_hole() -> None:
    mesh = pocketed(-1.0)
    assert faults(mesh) == []
    assert mesh.moments.amount == pytest.approx(3.0 * 84.0)
    assert np.isnan(heights(mesh, np.array([[5.0, 5.0]]), up=True)).all()


def test_two_sides_that_pass_through_each_other_leave_what_is_between_them() -> None:
    """A wedge whose sides cross half way: the rest of it is nothing."""

    def wedge(x: FloatArray, _: FloatArray) -> tuple[FloatArray, Corners]:
        return np.maximum(5.0 - x, 0.0) / 5, (x > 5.0).astype(np.int64)

    mesh = height_mesh([Block(region=SQUARE, upper=wedge)], 0.02)
    assert faults(mesh) == []
    assert mesh.moments.amount == pytest.approx(50.0, rel=1e-4)
    assert mesh.vertices[:, 0].max() == pytest.approx(5.0, abs=0.002)


def test_where_nothing_is_left_it_says_so() -> None:
    with pytest.raises(MeshError, match="no thickness is left anywhere"):
        height_mesh([Block(region=SQUARE, upper=flat(0.0))], 0.02)


def test_a_wall_whose_sides_change_places_is_refused_with_its_place() -> None:
    def leaning(x: FloatArray, y: FloatArray) -> tuple[FloatArray, Corners]:
        return 2.0 + 0.1 * (y - 5.0), np.zeros(len(x), dtype=np.int64)

    left, right = shapely.box(0.0, 0.0, 5.0, 10.0), shapely.box(5.0, 0.0, 10.0, 10.0)
    with pytest.raises(MeshError, match=r"do not meet .* near x 5\.00, y") as caught:
        height_mesh([Block(region=left, upper=flat(2.0)), Block(region=right, upper=leaning)], 0.02)
    assert caught.value.at is not None


def test_lines_of_a_block_are_edges_though_nothing_bends_there() -> None:
    line = shapely.LineString([(2.0, 3.0), (8.0, 6.0)])
    mesh = height_mesh([Block(region=SQUARE, upper=flat(2.0), lines=(line,))], 0.02)
    ends = mesh.vertices[mesh.triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2)][..., :2].reshape(-1, 4)
    assert np.abs(ends - (2.0, 3.0, 8.0, 6.0)).max(axis=1).min() < 1e-3
    assert faults(mesh) == []

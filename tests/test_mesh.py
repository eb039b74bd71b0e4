"""A mesh tells the moments of what its triangles enclose."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.solids.mesh import Mesh

CUBE = np.array([[x, y, z] for x in (0.0, 1.0) for y in (0.0, 1.0) for z in (0.0, 1.0)])
SQUARES = ((0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3))
sizes = st.floats(0.5, 50.0)
shifts = st.floats(-40.0, 40.0)


def box(size: tuple[float, float, float], shift: tuple[float, float, float]) -> Mesh:
    """A box whose lowest corner stands at ``shift``."""
    triangles = np.array([part for a, b, c, d in SQUARES for part in ((a, b, c), (a, c, d))])
    vertices = CUBE * size + shift
    a, b, c = vertices[triangles].transpose(1, 0, 2)
    out = np.cross(b - a, c - a)
    out /= np.linalg.norm(out, axis=1)[:, None]
    return Mesh(
        vertices=vertices,
        triangles=triangles,
        patches=np.repeat(np.arange(6), 2),
        normals=np.repeat(out[:, None], 3, 1),
    )


@given(st.tuples(sizes, sizes, sizes), st.tuples(shifts, shifts, shifts))
def test_moments_of_a_box_are_those_of_its_closed_form(
    size: tuple[float, float, float], shift: tuple[float, float, float]
) -> None:
    """Source: products of integrals of 1, t and t^2 along the three axes."""
    low, high = np.array(shift), np.array(shift) + size
    n, first, second = high - low, (high**2 - low**2) / 2, (high**3 - low**3) / 3
    x, y, z = ((n[i], first[i], second[i]) for i in range(3))
    expected = [
        x[0] * y[0] * z[0],
        x[1] * y[0] * z[0],
        x[0] * y[1] * z[0],
        x[0] * y[0] * z[1],
        x[2] * y[0] * z[0],
        x[0] * y[2] * z[0],
        x[0] * y[0] * z[2],
        x[1] * y[1] * z[0],
        x[1] * y[0] * z[1],
        x[0] * y[1] * z[1],
    ]
    scale = np.prod(np.abs(size)) * max(1.0, *np.abs(low), *np.abs(high)) ** 2
    assert box(size, shift).moments.values == pytest.approx(expected, abs=1e-10 * scale)


def test_mirrored_it_encloses_as_much_on_the_other_side() -> None:
    mesh = box((3.0, 2.0, 1.0), (0.0, 0.0, 0.5))
    assert mesh.mirrored().moments.values == pytest.approx(mesh.moments.mirrored().values)


def test_its_arrays_cannot_be_written_into() -> None:
    with pytest.raises(ValueError, match="read-only"):
        box((1.0, 1.0, 1.0), (0.0, 0.0, 0.0)).vertices[0, 0] = 5.0

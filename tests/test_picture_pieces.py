"""What a picture is made of: filled lines, the nearest triangle, silhouettes, letters, noise, the file."""

from __future__ import annotations

import io
import tracemalloc
import zlib

import numpy as np
import numpy.typing as npt
import pytest
import shapely
from draws import draws
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from PIL import Image, ImageDraw, ImageFont
from specimens import drop_point

from bladegeom import mesh, picture
from bladegeom.pictures import shot
from bladegeom.pictures.fill import coverage, rings_of
from bladegeom.pictures.nearest import nearest_triangles
from bladegeom.pictures.noise import noise
from bladegeom.pictures.png import png_of
from bladegeom.pictures.silhouette import silhouette
from bladegeom.pictures.studio import dull_light, encoded, linear, metal_light
from bladegeom.quantities.face import face
from bladegeom.quantities.letter_outlines import text_outlines
from bladegeom.quantities.lettering import EM, text_width

Floats = npt.NDArray[np.float64]

PLACES = st.floats(-3, 19, width=32)


@draws(30)
@given(st.lists(st.floats(0.15, 1.0), min_size=3, max_size=9), st.floats(2, 14), st.floats(2, 14), st.floats(1, 12))
def test_a_filled_line_covers_its_area(radii: list[float], x: float, y: float, size: float) -> None:
    turn = np.linspace(0, 2 * np.pi, len(radii), endpoint=False)
    ring = np.stack([x + size * np.array(radii) * np.cos(turn), y + size * np.array(radii) * np.sin(turn)], axis=1)
    shape, cover = shapely.Polygon(ring), coverage([ring], 16, 16)
    assert cover.min() >= 0
    assert cover.max() <= 1
    cells = [[shapely.box(i, j, i + 1, j + 1).intersection(shape).area for i in range(16)] for j in range(16)]
    # Exact along each of eight scan lines: a corner between two of them may be missed.
    assert cover == pytest.approx(np.array(cells), abs=0.14)
    assert cover.sum() == pytest.approx(np.sum(cells), abs=0.05 * shape.length + 0.02)


def test_a_hole_stays_open() -> None:
    region = shapely.box(2, 2, 14, 14).difference(shapely.box(5, 6, 9, 10))
    assert coverage(rings_of(region), 16, 16).sum() == pytest.approx(144 - 16)


def slowly(corners: Floats, columns: int, rows: int) -> npt.NDArray[np.intp]:
    """The nearest triangle at the middle of each cell, one by one; -2 where it is a matter of rounding."""
    found = np.full((rows, columns), -1)
    depth = np.full((rows, columns), -np.inf)
    for number, triangle in enumerate(corners):
        flat = shapely.Polygon(triangle[:, :2])
        if flat.exterior.is_ccw or flat.area < 1e-9:
            continue
        matrix = np.column_stack([triangle[:, :2], np.ones(3)])
        plane = np.linalg.solve(matrix, triangle[:, 2])
        for j in range(rows):
            for i in range(columns):
                at = shapely.Point(i + 0.5, j + 0.5)
                if flat.boundary.distance(at) < 1e-6:
                    found[j, i], depth[j, i] = -2, np.inf
                elif flat.contains(at) and (height := plane @ (i + 0.5, j + 0.5, 1)) > depth[j, i]:
                    found[j, i], depth[j, i] = number, height
    return found


@draws(30)
@given(arrays(np.float64, (4, 3, 3), elements=PLACES))
def test_the_nearest_triangle_is_that_of_the_slow_way(corners: Floats) -> None:
    areas = [abs(shapely.Polygon(triangle[:, :2]).area) for triangle in corners]
    corners = corners[np.array(areas) > 1e-3]
    corners = corners + 0.0137  # off the middles of the cells
    quick, slow = nearest_triangles(corners, 9, range(7)), slowly(corners, 9, 7)
    sure = slow != -2
    differ = sure & (quick.triangle != slow)
    # Two that are equally near may each be it.
    for row, column in np.argwhere(differ):
        heights = [
            np.linalg.solve(np.column_stack([corners[k][:, :2], np.ones(3)]), corners[k][:, 2])
            @ (column + 0.5, row + 0.5, 1)
            for k in (quick.triangle[row, column], slow[row, column])
        ]
        assert heights[0] == pytest.approx(heights[1], abs=1e-4 * (1 + abs(heights[1])))


@draws(20)
@given(arrays(np.float64, (6, 3, 3), elements=PLACES), st.integers(1, 6))
def test_rows_are_the_same_in_parts(corners: Floats, cut: int) -> None:
    whole = nearest_triangles(corners, 9, range(7))
    parts = [nearest_triangles(corners, 9, rows) for rows in (range(cut), range(cut, 7))]
    assert (np.concatenate([part.triangle for part in parts]) == whole.triangle).all()
    assert (np.concatenate([part.depth for part in parts]) == whole.depth).all()


def test_triangles_that_many_rows_cross_are_looked_at_a_few_at_a_time() -> None:
    """As many as holes give that are seen from their side: all rows of all of them took hundreds of megabytes."""
    x = np.linspace(0.0, 90.0, 20_000)
    ends = np.stack([np.zeros_like(x), np.full_like(x, 200.0)])
    corners = np.stack(
        [np.stack([x, ends[0], x], axis=1), np.stack([x, ends[1], x], axis=1), np.stack([x + 0.3, ends[1], x], axis=1)],
        axis=1,
    )
    tracemalloc.start()
    seen = nearest_triangles(corners, 100, range(200))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert (seen.triangle >= 0).any()
    assert peak < 50e6


def test_a_picture_is_the_same_in_whatever_patches_it_is_made(monkeypatch: pytest.MonkeyPatch) -> None:
    """A matrix library may add in another order for fewer places: one shade of 256."""
    whole = picture(drop_point(), width=400).pixels.astype(int)
    monkeypatch.setattr(shot, "_PATCH", 400 * 7)
    assert np.abs(picture(drop_point(), width=400).pixels - whole).max() <= 1


def test_a_silhouette_is_as_large_as_its_outline() -> None:
    knife = drop_point()
    blade = mesh(knife).parts[0].mesh
    x0, y0, x1, y1 = knife.outline.bounds
    flat = (blade.vertices[:, :2] - (x0 - 3, y1 + 3)) * (2.0, -2.0)
    cover = silhouette(flat, blade.triangles, int(2 * (x1 - x0 + 6)), int(2 * (y1 - y0 + 6)))
    open_area = sum(opening.moments[0] for opening in knife.openings)
    assert cover.sum() / 4 == pytest.approx(knife.outline.polygon.area - open_area, rel=3e-4)
    assert len(np.unique(np.round(cover, 2))) > 30


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("text", ["DECK 1", "Ag8&@", "Žëñ ö", "GALLEY"])
def test_letters_are_those_of_another_reader_of_the_face(text: str, *, bold: bool) -> None:
    """Against FreeType, which pillow draws with."""
    font = ImageFont.truetype(io.BytesIO(face(bold=bold).data), 300, layout_engine=ImageFont.Layout.BASIC)
    wide, height = 2100, 480
    image = Image.new("L", (wide, height), 0)
    ImageDraw.Draw(image).text((30, 360), text, fill=255, font=font, anchor="ls")
    theirs = np.asarray(image) / 255
    rings = [np.array(ring) * (1, -1) + (30, 360) for ring in text_outlines(text, 300 / EM, bold=bold)]
    ours = coverage(rings, wide, height)
    # Theirs fits letters to pixels and kerns them; what there is of ink is the same.
    assert ours.sum() == pytest.approx(theirs.sum(), rel=0.01)
    assert (np.abs(ours - theirs) > 0.5).mean() < 0.02


def test_a_text_is_as_wide_as_it_is_measured() -> None:
    right = max(x for ring in text_outlines("HHH", 10.0) for x, _ in ring)
    assert right < text_width("HHH", 10.0) < right + 2


def test_noise_is_smooth_even_and_pinned() -> None:
    u = np.linspace(0, 40, 4001)
    row = noise(u, np.zeros_like(u))
    assert np.abs(np.diff(row)).max() < 0.05
    assert abs(row).max() <= 1
    assert abs(row.mean()) < 0.3
    assert noise(np.array([0.0, 1.0, 2.5]), np.array([0.0, 3.0, -1.5])).tolist() == pytest.approx(PINNED, abs=1e-6)


PINNED = [-1.0, 0.552197, 0.0378]
"""So that the grain of a knife is tomorrow what it is today."""


@pytest.mark.parametrize(("level", "light"), [(0, 0.0), (10, 0.003035), (118, 0.181164), (188, 0.502886), (255, 1.0)])
def test_light_and_screen(level: int, light: float) -> None:
    """Values of the transfer curve of IEC 61966-2-1, worked out by hand."""
    assert linear((level,) * 3)[0] == pytest.approx(light, abs=1e-5)
    assert encoded(np.array([light], dtype=np.float32)) == level


def turned(degrees: float) -> npt.NDArray[np.float32]:
    lean = np.radians(degrees)
    return np.array([[0, np.sin(lean), np.cos(lean)]], dtype=np.float32)


def test_metal_that_faces_the_eye_has_its_own_colour() -> None:
    none, across = np.zeros((1, 3), dtype=np.float32), np.array([[0, 1, 0]], dtype=np.float32)
    assert metal_light(turned(0), across) == pytest.approx(1.0, abs=0.2)
    assert dull_light(turned(0)) == pytest.approx(1.0, abs=0.01)
    # A bevel looks down and is darker, the facet of an edge meets the lamp below.
    assert metal_light(turned(-5), none) < 0.8 * metal_light(turned(0), none)
    assert metal_light(turned(-17), none) > 1.2 * metal_light(turned(0), none)


@draws(10)
@given(arrays(np.uint8, st.tuples(st.integers(1, 9), st.integers(1, 9), st.just(3))))
def test_a_file_holds_its_pixels(pixels: npt.NDArray[np.uint8]) -> None:
    with Image.open(io.BytesIO(png_of(pixels, 4000, {"Title": "Ž"}))) as image:
        assert (np.asarray(image) == pixels).all()
        assert image.info["Title"] == "Ž"


def test_each_chunk_has_its_checksum() -> None:
    data, at, names = png_of(np.zeros((2, 2, 3), dtype=np.uint8), 4000, {}), 8, []
    while at < len(data):
        size = int.from_bytes(data[at : at + 4])
        body = data[at + 4 : at + 8 + size]
        assert zlib.crc32(body) == int.from_bytes(data[at + 8 + size : at + 12 + size])
        names.append(body[:4])
        at += 12 + size
    assert names == [b"IHDR", b"sRGB", b"pHYs", b"IDAT", b"IEND"]

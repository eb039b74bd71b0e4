"""How thin lines and gaps of a mark are, what falls out of its stencil: against closed forms, GEOS and fontTools."""

from __future__ import annotations

import io
import math
from typing import Any

import numpy as np
import pytest
import shapely
from draws import draws
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import affinity

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.zone import MarkZone
from bladegeom.marking.islands import bridged, islands
from bladegeom.marking.mark_numbers import mark_numbers
from bladegeom.marking.mark_region import mark_region, shape_of
from bladegeom.marking.thin_places import gap_places, least_gap, least_line, thin_places
from bladegeom.outline.filled import filled_region, rings_of_region
from bladegeom.quantities.face import face
from bladegeom.quantities.letter_outlines import text_outlines
from bladegeom.quantities.lettering import EM

STEP = 0.005
"""To which a width is found, mm."""

SLACK = 0.01
"""Part of a width by which a disc of chords may be off."""

LETTERS = "ABDOPQRabdegopq0468&%@$#?!WMXZkß§ÄÖÅçéñŠžΔΘΩЖФЯ"
"""With islands and without, of one contour and of many, with accents that hang and stand; three alphabets."""


def zone(text: str = "DECK 1", **more: Any) -> MarkZone:
    fields: dict[str, Any] = {"x": 20.0, "y": -6.0, "width": 9.0, "height": 4.0, "text": text} | more
    return MarkZone(**fields)


def face_file(*, bold: bool) -> TTFont:
    return TTFont(io.BytesIO(face(bold=bold).data))


def _turned_area(ring: FloatArray) -> float:
    """Of what runs counter-clockwise; less than nought of the other, as fontTools has it."""
    x, y = ring.T
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) / 2


def near(width: float) -> Any:
    return pytest.approx(width, abs=STEP + SLACK * width)


@pytest.mark.parametrize("bold", [False, True])
def test_letters_are_as_large_as_another_library_reads_them(*, bold: bool) -> None:
    """Area and bounds by fontTools, whose pens are exact on the face's own curves; chords are not.

    What n chords to a parabola leave out falls with the square of n, exactly: two numbers of them give the whole.
    """
    font = face_file(bold=bold)
    glyphs, names, em = font.getGlyphSet(), font.getBestCmap(), font["head"].unitsPerEm
    for letter in LETTERS:
        glyph = glyphs[names[ord(letter)]]
        area, bounds = AreaPen(glyphs), BoundsPen(glyphs)
        glyph.draw(area)
        glyph.draw(bounds)
        rings = [
            [np.array(ring) for ring in text_outlines(letter, em / EM, bold=bold, steps=steps)] for steps in (8, 16)
        ]
        coarse, fine = (sum(_turned_area(ring) for ring in each) for each in rings)
        assert (4 * fine - coarse) / 3 == pytest.approx(area.value, rel=1e-9), letter
        region = filled_region(rings[0])
        # A letter may lie over its accent, and what both cover is counted twice: the ring of an A, the tail of a c.
        assert region.area <= abs(coarse) * (1 + 1e-9), letter
        assert letter in "Åç" or region.area == pytest.approx(abs(coarse), rel=1e-9), letter
        assert region.bounds == pytest.approx(bounds.bounds, abs=0.002 * em), letter


def test_chords_of_letters_are_as_near_as_is_said() -> None:
    """Against chords that are eight times as short, on letters 20 mm high."""
    mark = zone(LETTERS, width=2000.0, height=20.0 / 0.7)
    height = 20.0
    fine = filled_region([np.array(ring) for ring in text_outlines(LETTERS, height, steps=64)])
    shape = shape_of(mark)
    moved = affinity.translate(shape, fine.bounds[0] - shape.bounds[0], fine.bounds[1] - shape.bounds[1])
    assert shapely.hausdorff_distance(moved.boundary, fine.boundary) < 0.0085


def test_holes_of_letters_are_those_of_the_face() -> None:
    """Contours of fontTools that run the other way than the outer one: TrueType has outer ones clockwise."""
    font = face_file(bold=False)
    names = font.getBestCmap()
    for letter in LETTERS:
        glyph, holes = font["glyf"][names[ord(letter)]], 0
        coordinates, ends, _ = glyph.getCoordinates(font["glyf"])
        for start, end in zip([0, *[e + 1 for e in ends]], ends, strict=False):
            x, y = np.array(coordinates[start : end + 1], dtype=float).T
            holes += bool((x * np.roll(y, -1) - np.roll(x, -1) * y).sum() > 0)
        assert len(islands(shape_of(zone(letter)))) == holes, letter


@draws(40)
@given(st.floats(0.05, 2.0), st.floats(5.0, 20.0), st.floats(0, 180), st.floats(-50, 50))
def test_a_bar_is_as_thin_as_it_is(width: float, length: float, angle: float, x: float) -> None:
    bar = affinity.translate(affinity.rotate(shapely.box(0, 0, length, width), angle), x, 0)
    assert least_line(bar) == near(width)
    assert thin_places(bar, width * (1 + SLACK) + 1e-6)
    assert not thin_places(bar, width * (1 - SLACK))


@draws(40)
@given(st.floats(0.05, 2.0), st.floats(0.5, 4.0))
def test_a_ring_is_as_thin_as_its_radii_are_apart(width: float, inner: float) -> None:
    ring = shapely.Point(0, 0).buffer(inner + width, quad_segs=90) - shapely.Point(0, 0).buffer(inner, quad_segs=90)
    assert least_line(ring) == near(width)
    assert len(islands(ring)) == 1


@draws(40)
@given(st.floats(0.1, 1.0), st.floats(0.5, 3.0), st.floats(0.2, 3.0))
def test_a_neck_between_wide_pieces_is_found_where_it_is(width: float, wide: float, length: float) -> None:
    assume(wide > 1.2 * width)
    ends = shapely.box(-wide - 4, -wide, -length / 2, wide) | shapely.box(length / 2, -wide, wide + 4, wide)
    whole = ends | shapely.box(-length, -width / 2, length, width / 2)
    assert least_line(whole) == near(width)
    (place,) = thin_places(whole, 1.1 * width)
    assert abs(place.x) < length / 2
    assert abs(place.y) < width / 2


@draws(40)
@given(st.floats(0.1, 1.0), st.floats(2.6, 10.0))
def test_a_hair_that_ends_free_is_thin(width: float, length: float) -> None:
    body = shapely.box(-6, -3, 0, 3) | shapely.box(-1, -width / 2, length * width * 1.1, width / 2)
    assert least_line(body) == near(width)


@pytest.mark.parametrize("angle", [12.0, 20.0, 22.5, 23.5, 30.0, 60.0, 90.0, 120.0])
def test_a_corner_is_no_thin_line_until_it_sticks_out_by_two_widths(angle: float) -> None:
    """Closed form: a disc of radius r ends r (1/sin(half) - 1) before the point: two widths, 4 r, at 23.07 degrees."""
    half = math.radians(angle / 2)
    wedge = shapely.Polygon(
        [(0, 0), (30 * math.cos(half), 30 * math.sin(half)), (30 * math.cos(half), -30 * math.sin(half))]
    )
    assert bool(thin_places(wedge, 0.5)) == (1 / math.sin(half) - 1 > 4)


@draws(40)
@given(
    st.lists(
        st.tuples(st.floats(-5, 5), st.floats(-5, 5), st.floats(0.3, 3), st.floats(0.3, 3)), min_size=1, max_size=5
    ),
    st.floats(0.05, 1.5),
)
def test_what_shrinking_loses_or_parts_is_thin(boxes: list[tuple[float, ...]], width: float) -> None:
    """Shapely's own buffer is the judge: where a piece vanishes or falls apart, there was a thin place."""
    region = shapely.union_all([shapely.box(x, y, x + w, y + h) for x, y, w, h in boxes])
    core = region.buffer(-width / 2, quad_segs=32)
    if len(shapely.get_parts(core)) != len(shapely.get_parts(region)):
        assert thin_places(region, width * (1 + SLACK))
    assert all(region.buffer(1e-9).contains(shapely.Point(place)) for place in thin_places(region, width))


@draws(20)
@given(st.sampled_from(["K", "B8", "&", "Rg"]), st.floats(0.5, 4.0), st.floats(0, 180))
def test_widths_grow_with_the_mark_and_stay_when_it_is_turned(text: str, times: float, angle: float) -> None:
    shape = shape_of(zone(text, width=20.0, height=20.0))
    before = least_line(shape)
    other = affinity.rotate(affinity.scale(shape, times, times, origin=(0, 0)), angle, origin=(0, 0))
    assert least_line(other) == pytest.approx(times * before, abs=STEP * (1 + times) + 2 * SLACK * times * before)


@draws(40)
@given(st.floats(0.05, 2.0), st.floats(0, 180))
def test_a_gap_is_as_wide_as_pieces_are_apart(gap: float, angle: float) -> None:
    one, other = shapely.box(0, 0, 6, 1), shapely.box(0, 1 + gap, 6, 2 + gap)
    both = affinity.rotate(one | other, angle)
    assert least_gap(both) == near(gap)
    assert shapely.distance(one, other) == pytest.approx(gap)
    assert not gap_places(both, gap * (1 - SLACK))
    assert least_gap(affinity.rotate(one, angle)) is None


@pytest.mark.parametrize(
    ("text", "count"), [("A", 1), ("B", 2), ("8", 2), ("%", 2), ("IHK", 0), ("BOOK 0", 5), ("Å", 2)]
)
def test_islands_and_bridges(text: str, count: int) -> None:
    shape = shape_of(zone(text, width=30.0, height=12.0))
    assert len(islands(shape)) == count
    held = bridged(shape, 0.5)
    assert islands(held) == ()
    assert held.within(shape.buffer(1e-9))
    _, low, _, high = shape.bounds
    assert shape.area - held.area <= count * 0.5 * (high - low)


@draws(20)
@given(st.text(alphabet="ABDOQR0689", min_size=1, max_size=5), st.floats(0.2, 1.0))
def test_nothing_falls_out_of_any_stencil_with_bridges(text: str, width: float) -> None:
    held = shape_of(zone(text, width=40.0, height=15.0, made="stencil", bridge=width))
    assert islands(held) == ()


def test_an_island_within_an_island_falls_with_it() -> None:
    rings = [shapely.Point(0, 0).buffer(r + 1) - shapely.Point(0, 0).buffer(r) for r in (2, 5)]
    assert len(islands(shapely.union_all(rings))) == 2
    assert islands(bridged(shapely.union_all(rings), 0.4)) == ()


@draws(30)
@given(st.text(alphabet=LETTERS, min_size=1, max_size=8), st.floats(3, 30), st.floats(2, 10), st.booleans())
def test_a_mark_lies_in_its_field(text: str, width: float, height: float, bold: bool) -> None:  # noqa: FBT001
    mark = zone(text, width=width, height=height, bold=bold)
    x0, y0, x1, y1 = shape_of(mark).bounds
    assert max(-y0, y1) <= height / 2 + 1e-9
    assert max(-x0, x1) <= width / 2 + 1e-9


@pytest.mark.parametrize("text", ["F", "DECK 1", "gÅ"])
def test_a_mark_on_the_left_face_is_that_of_the_right_one_turned_over(text: str) -> None:
    right, left = (mark_region(zone(text, side=side)) for side in ("right", "left"))
    assert affinity.scale(left, -1, 1, origin=(20.0, 0)).equals_exact(right, 1e-9, normalize=True)
    assert shapely.symmetric_difference(left, right).area > 0.1


@draws(30)
@given(st.lists(st.tuples(st.floats(-5, 5), st.floats(-5, 5)), min_size=3, max_size=9))
def test_what_lines_run_round_is_what_winding_says(places: list[tuple[float, float]]) -> None:
    """Each rule asked of single places by the angle through which the line turns as one looks along it."""
    ring = np.array(places)
    assume(len(np.unique(ring, axis=0)) == len(ring))
    some = np.stack(np.meshgrid(np.linspace(-4.97, 4.91, 9), np.linspace(-4.93, 4.99, 9)), axis=-1).reshape(-1, 2)
    closed = shapely.LineString([*places, places[0]])
    some = some[shapely.distance(closed, shapely.points(some)) > 1e-6]
    arms = ring[None] - some[:, None]
    bearing = np.arctan2(arms[..., 1], arms[..., 0])
    steps = np.diff(np.concatenate([bearing, bearing[:, :1]], axis=1), axis=1)
    turns = np.round(((steps + np.pi) % (2 * np.pi) - np.pi).sum(axis=1) / (2 * np.pi)).astype(int)
    for even_odd, inside in ((False, turns != 0), (True, turns % 2 != 0)):
        region = filled_region([ring], even_odd=even_odd)
        assert shapely.contains_xy(region, some).tolist() == inside.tolist()


def test_borders_make_the_same_region_again() -> None:
    shape = shape_of(zone("B&8"))
    rings = rings_of_region(shape)
    assert filled_region([np.array(ring) for ring in rings]).equals_exact(shape, 1e-9, normalize=True)
    areas = [shapely.Polygon(ring).area * (1 if shapely.LinearRing(ring).is_ccw else -1) for ring in rings]
    assert sum(areas) == pytest.approx(shape.area)


def test_numbers_of_a_mark() -> None:
    found = mark_numbers(zone("BO", made="laser", depth=0.1))
    assert found.islands == 3
    assert found.volume == pytest.approx(0.1 * found.area)
    assert found.area == pytest.approx(shape_of(zone("BO")).area)
    nothing = mark_numbers(zone("包"))
    assert (nothing.line, nothing.gap, nothing.islands, nothing.area) == (0.0, None, 0, 0.0)

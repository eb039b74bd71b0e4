"""A piece on paper: the quick way to its place is the plain one, and what all papers share is drawn once."""

from __future__ import annotations

import dataclasses
import itertools
import math
import pathlib
from collections import Counter
from collections.abc import Callable, Iterator

import numpy as np
import pytest
import shapely
from draws import draws
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import Polygon, affinity

from bladegeom.commands.export import exported
from bladegeom.curves.build import arc, line
from bladegeom.curves.curve import join
from bladegeom.curves.flatten import flatten
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Circle, Drawing, Item, Label, Path
from bladegeom.drawing.footprint import Footprint
from bladegeom.drawing.page_frame import CLEAR, beside_flat
from bladegeom.drawing.ruler import MARGIN, PRINT_WORDS
from bladegeom.drawing.sheet import PagePiece, _first_free
from bladegeom.quantities.papers import paper
from bladegeom.sheets import blade_sheet, scale_pages
from bladegeom.workshop.work import Work

EXAMPLES = pathlib.Path(__file__).resolve().parent.parent / "examples"

PLACES = st.tuples(st.floats(-60.0, 60.0), st.floats(-25.0, 25.0))
SIZES = st.floats(0.5, 20.0)


@st.composite
def items(draw: st.DrawFn) -> Item:
    (x, y), size = draw(PLACES), draw(SIZES)
    kind = draw(st.sampled_from(("line", "arc", "circle", "label")))
    if kind == "line":
        return Path(layer="CUT", curve=line((x, y), (x + size, y + draw(SIZES))))
    if kind == "arc":
        return Path(layer="MARK", curve=arc((x, y), size, draw(st.floats(0, 360)), draw(st.floats(20, 340))))
    if kind == "circle":
        return Circle(layer="DRILL", x=x, y=y, radius=size)
    return Label(layer="NOTE", x=x, y=y, text="here", height=size / 4, angle_deg=draw(st.floats(-90, 90)))


DRAWINGS = st.lists(items(), min_size=1, max_size=12).map(lambda found: Drawing(name="x", items=tuple(found)))


def spread(drawing: Drawing) -> Iterator[np.ndarray]:
    """Points of each item, curves followed to 2 um."""
    for item in drawing.items:
        yield flatten(item.curve, 0.002) if isinstance(item, Path) else Drawing(name="", items=(item,)).points


@draws(60)
@given(DRAWINGS)
def test_the_hull_is_that_of_every_point(drawing: Drawing) -> None:
    whole = shapely.MultiPoint(np.concatenate(list(spread(drawing)))).convex_hull
    assert Footprint(drawing).around.symmetric_difference(whole).area < 1e-9
    assert Footprint(drawing).hull.min(axis=0) == pytest.approx(shapely.get_coordinates(whole).min(axis=0), abs=1e-9)


@draws(20)
@given(DRAWINGS)
def test_a_piece_stands_as_high_as_may_be(drawing: Drawing) -> None:
    """Each place tried by itself, with shapes moved one by one: none that is free is better than the one taken."""
    size, head, foot = paper("A4"), ("Title", "note " * 60), ("foot",)
    sheet = PagePiece(drawing=drawing, head=head, foot=foot).on(size)
    assert sheet is not None
    placed = Drawing(name="", items=sheet.drawing.items[-len(drawing.items) :])
    dx, dy = np.array(placed.bounds[:2]) - drawing.bounds[:2]
    frame = next(beside_flat(size.height, size.width, head, (*PRINT_WORDS, *foot)))
    taken = frame.taken.buffer(CLEAR, quad_segs=2)
    hull = shapely.simplify(Footprint(drawing).around, 0.1)
    (x0, y0), (x1, y1) = Footprint(drawing).hull.min(axis=0), Footprint(drawing).hull.max(axis=0)
    right, up = size.height - 2 * MARGIN - (x1 - x0), size.width - 2 * MARGIN - (y1 - y0)
    x, y = dx + x0 - MARGIN, dy + y0 - MARGIN
    assert not affinity.translate(hull, dx, dy).intersects(taken)
    for i, k in itertools.product(range(0, 13, 3), range(0, 121, 5)):
        a, b = right * i / 12, up * k / 120
        if 0.2 * a + up - b < 0.2 * x + up - y - 1e-6:
            assert affinity.translate(hull, a + MARGIN - x0, b + MARGIN - y0).intersects(taken)


@pytest.mark.parametrize("free", [0, 63, 64, 100, 199])
def test_the_first_free_place_is_taken_however_many_come_before(free: int) -> None:
    offsets = np.stack([2.0 * np.arange(200), np.zeros(200)], axis=1)
    taken = shapely.union_all([shapely.box(x, 0.0, x + 1.0, 1.0) for x, _ in offsets[:free]])
    found = _first_free(shapely.box(0.2, 0.2, 0.8, 0.8), offsets, taken)
    assert found is not None
    assert found.tolist() == [2.0 * free, 0.0]
    assert _first_free(shapely.box(0.2, 0.2, 0.8, 0.8), offsets, shapely.box(-1.0, -1.0, 500.0, 2.0)) is None


def test_what_is_asked_for_twice_is_the_same_page() -> None:
    piece = PagePiece(drawing=Drawing(name="x", items=(Circle(layer="CUT", x=0, y=0, radius=9),)), head=("t",), foot=())
    assert piece.on(paper("A4")) is piece.on(paper("A4"))
    assert piece.on(paper("A4")) is not piece.on(paper("Letter"))


@pytest.mark.parametrize("first", [True, False])
def test_a_bay_is_free_only_where_it_is_asked_for(first: bool) -> None:  # noqa: FBT001
    corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 5.0), (5.0, 5.0), (5.0, 40.0), (0.0, 40.0)]
    corner, sides = Polygon(corners), [line(a, b) for a, b in itertools.pairwise([*corners, corners[0]])]
    covers = Footprint(Drawing(name="x", items=(Path(layer="CUT", curve=join(*sides), closed=True),)))
    for snug in (first, not first):
        assert covers.turned(30.0, snug=snug).area == pytest.approx(corner.area if snug else corner.convex_hull.area)


@pytest.fixture
def drawn(monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    """How often each piece is drawn."""
    count: Counter[str] = Counter()

    def counted(name: str, real: Callable[..., object]) -> Callable[..., object]:
        def drawing(*rest: object, **named: object) -> object:
            count[name] += 1
            return real(*rest, **named)

        return drawing

    for module, name in (
        (blade_sheet, "spine_strips"),
        (scale_pages, "hole_rows"),
    ):
        monkeypatch.setattr(module, name, counted(name, getattr(module, name)))
    return count


@pytest.mark.long
def test_each_piece_is_drawn_once_for_all_papers(drawn: Counter[str]) -> None:
    design = dataclasses.replace(Design.from_script(EXAMPLES / "rigging_knife.py"), work=Work())
    made = exported(design, papers=("A4", "Letter", "A3"))
    for name, count in (("_book_", 3), ("_pass_", 6), (".dxf", 2)):
        assert sum(name in file and not file.endswith(".html") for file in made) == count
    assert drawn == dict.fromkeys(("spine_strips", "hole_rows"), 1)


@draws(20)
@given(DRAWINGS, st.sampled_from(("A5", "A4", "Letter")), st.floats(1.0, 8.0))
def test_where_the_least_of_a_piece_does_not_fit_nothing_of_it_does(drawing: Drawing, name: str, scale: float) -> None:
    matrix = [[scale, 0.0, 0.0], [0.0, scale, 0.0]]
    border = tuple(
        dataclasses.replace(item, curve=item.curve.transformed(matrix))
        for item in drawing.items
        if isinstance(item, Path)
    )
    assume(border)
    least, size = Footprint(Drawing(name="least", items=border)), paper(name)
    whole = Drawing(name="whole", items=(*border, *drawing.items))
    if PagePiece(drawing=whole, head=("t",), foot=("f",), turns=True).on(size) is not None:
        assert least.fits(size)
    x0, y0, x1, y1 = least.around.bounds
    if max(x1 - x0, y1 - y0) > math.hypot(size.width, size.height):
        assert not least.fits(size)


@draws(50)
@given(st.integers(0, 2**32 - 1))
def test_the_first_free_place_is_that_of_asking_the_whole_shapes_everywhere(seed: int) -> None:
    random = np.random.default_rng(seed)
    taken = shapely.union_all([shapely.box(x, y, x + 30.0, y + 15.0) for x, y in random.uniform(0.0, 120.0, (4, 2))])
    shapely.prepare(taken)
    angles, reach = np.sort(random.uniform(0.0, 2 * np.pi, 60)), random.uniform(5.0, 25.0, 60)
    shape = shapely.Polygon(np.stack([reach * np.cos(angles), reach * np.sin(angles)], axis=1)).buffer(0.0)
    offsets = random.uniform(0.0, 150.0, (100, 2))
    free = [place for place in offsets if not affinity.translate(shape, *place).intersects(taken)]
    found = _first_free(shape, offsets, taken)
    assert (found is None) == (not free)
    assert found is None or found.tolist() == free[0].tolist()

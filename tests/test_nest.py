"""Nesting: distances, grain and counts on random parts and stock; closed forms for rectangles; what is left."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import numpy as np
import pytest
import shapely
from draws import draws
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon
from shapely.affinity import translate

from bladegeom.curves.build import line, spline
from bladegeom.curves.curve import Curve, join
from bladegeom.curves.flatten import flatten
from bladegeom.design.script import load_script
from bladegeom.drawing.drawing import Circle
from bladegeom.drawing.drawing import Path as CutPath
from bladegeom.knife.stock import Stock
from bladegeom.nesting.nest import Nest, nest, nest_most
from bladegeom.nesting.nest_clear import around, too_near
from bladegeom.nesting.nest_place import LaidBlank, NestPlace
from bladegeom.nesting.nest_stock import Blank, StockPiece
from bladegeom.nesting.nest_true import broken_distances
from bladegeom.quantities.errors import ParameterError, PlacingError
from bladegeom.sheets.nest_drawing import blank_of, nest_drawing

STEEL = Stock(steel="1.4116", thickness=4.0)
EXAMPLES = Path(__file__).resolve().parents[1] / "examples"


def rectangle(length: float, width: float, *, copies: int = 1, stock: Stock = STEEL) -> Blank:
    loop = line((0.0, 0.0), (length, 0.0), (length, width), (0.0, width), (0.0, 0.0))
    return Blank(name=f"{length:g} x {width:g}", loop=loop, stock=stock, copies=copies)


@st.composite
def stars(draw: st.DrawFn) -> Curve:
    """A simple closed loop of straight lines, seldom convex, counter-clockwise, away from the origin."""
    radii = draw(st.lists(st.floats(4.0, 30.0), min_size=3, max_size=9))
    stretch = draw(st.floats(1.0, 4.0))
    angles = np.arange(len(radii)) * 2 * math.pi / len(radii)
    corners = [(50 + stretch * r * math.cos(a), r * math.sin(a)) for r, a in zip(radii, angles, strict=True)]
    return line(*corners, corners[0])


@st.composite
def bellies(draw: st.DrawFn) -> Curve:
    """A straight spine over a curved belly, like a blade."""
    length, deep = draw(st.floats(30.0, 120.0)), draw(st.floats(5.0, 25.0))
    belly = spline([(0.0, 0.0), (draw(st.floats(0.3, 0.7)) * length, -deep), (length, 0.0)])
    return join(belly, line((length, 0.0), (0.0, 0.0)))


def polygons(done: Nest, index: int) -> list[Polygon]:
    """Outlines on a piece of stock from the declared loops and the places' matrices alone."""
    places = done.pieces[index].places
    return [Polygon(flatten(done.blanks[p.lying.blank].loop.transformed(p.matrix), 0.001)) for p in places]


@draws(12)
@given(
    loops=st.lists(stars() | bellies(), min_size=1, max_size=2),
    copies=st.integers(1, 2),
    length=st.floats(260.0, 400.0),
    width=st.floats(80.0, 150.0),
    spacing=st.sampled_from([0.0, 0.5, 3.0, 8.0]),
    margin=st.sampled_from([0.0, 2.5, 6.0]),
    grain=st.sampled_from(["along", "any"]),
    flip=st.booleans(),
    pieces=st.sampled_from([None, 1]),
)
def test_distances_grain_and_counts_hold(
    loops: list[Curve], copies: int, length: float, width: float, spacing: float, margin: float,
    grain: str, flip: bool, pieces: int | None,  # noqa: FBT001
) -> None:  # fmt: skip
    blanks = [Blank(name=f"B{i}", loop=loop, stock=STEEL, copies=copies) for i, loop in enumerate(loops)]
    stock = StockPiece(length=length, width=width)
    done = nest(blanks, stock, spacing=spacing, margin=margin, grain=grain, flip=flip, pieces=pieces)  # type: ignore[arg-type]
    for index, piece in enumerate(done.pieces):
        parts = polygons(done, index)
        inner = shapely.box(margin, margin, length - margin, width - margin)
        assert all(part.difference(inner).area < 1e-3 and inner.buffer(2e-5).contains(part) for part in parts)
        for a, b in itertools.combinations(parts, 2):
            assert a.intersection(b).area < 1e-2
            assert spacing == 0 or a.distance(b) >= spacing - 2e-5
        allowed = {0.0, 180.0} if grain == "along" else {0.0, 90.0, 180.0, 270.0}
        assert {p.lying.angle_deg for p in piece.places} <= allowed
        assert flip or all(np.linalg.det(p.matrix[:, :2]) > 0 for p in piece.places)
        assert 0 < done.yield_percent(piece) <= 100.0 + 1e-6
    placed = [sum(p.lying.blank == i for piece in done.pieces for p in piece.places) for i in range(len(blanks))]
    assert [n + left for n, left in zip(placed, done.left_out, strict=True)] == [copies] * len(blanks)
    assert pieces == 1 or not sum(done.left_out)
    assert len(done.pieces) <= (pieces or len(blanks) * copies)


@draws(25)
@given(
    a=stars() | bellies(),
    b=stars() | bellies(),
    spacing=st.sampled_from([0.0, 4.0]),
    x=st.floats(-1, 1),
    y=st.floats(-1, 1),
)
def test_places_too_near_against_sums_of_all_pairs_of_edges(
    a: Curve, b: Curve, spacing: float, x: float, y: float
) -> None:  # fmt: skip
    """The Minkowski sum by brute force: every edge of one along every edge of the other; and the distance itself."""
    first, other = around(a), around(b)
    p, q = shapely.get_coordinates(first.exterior), -shapely.get_coordinates(other.exterior)
    sides = [
        p[:-1, None] + q[None, :-1],
        p[1:, None] + q[None, :-1],
        p[1:, None] + q[None, 1:],
        p[:-1, None] + q[None, 1:],
    ]
    swept = shapely.polygons(np.stack(sides, axis=2).reshape(-1, 4, 2))
    whole = shapely.union_all(
        [*np.atleast_1d(np.asarray(shapely.buffer(swept, 0))), Polygon(p + q[0]), Polygon(p[0] + q)]
    )
    assert too_near(first, other, 0.0).symmetric_difference(whole).area < 1e-3
    # Outside of it the two keep their distance, at any shift.
    near = too_near(first, other, spacing)
    x0, y0, x1, y1 = near.bounds
    shift = ((x0 + x1) / 2 + 0.6 * x * (x1 - x0), (y0 + y1) / 2 + 0.6 * y * (y1 - y0))
    apart = first.distance(translate(other, *shift))
    assert near.covers(shapely.Point(shift)) or apart >= spacing - 1e-6
    # And it is not larger than the distance needs, but at corners by the tenth that a bevelled corner adds.
    assert apart <= 1.1 * spacing + 1e-6 or not near.buffer(-1e-6).contains(shapely.Point(shift))


@pytest.mark.parametrize("curve", [line((0, 0), (60, 0), (60, 20), (0, 20), (0, 0)), *[
    load_script(EXAMPLES / f"{name}.py").knife()[0].outline.loop for name in ("rigging_knife", "galley_chef")
]])  # fmt: skip
def test_the_simple_polygon_holds_the_outline(curve: Curve) -> None:
    true = Polygon(flatten(curve, 1e-4))
    simple = around(curve)
    assert simple.buffer(1e-7).contains(true)
    assert simple.hausdorff_distance(true) < 0.2
    assert len(simple.exterior.coords) < 200


@draws(25)
@given(
    across=st.integers(1, 4),
    along=st.integers(1, 4),
    length=st.floats(20.0, 80.0),
    width=st.floats(10.0, 19.0),
    spacing=st.sampled_from([0.0, 2.0, 5.0]),
    margin=st.sampled_from([0.0, 5.0]),
    short=st.booleans(),
)
def test_rectangles_fill_a_grid_that_just_holds_them(
    across: int, along: int, length: float, width: float, spacing: float, margin: float, short: bool  # noqa: FBT001
) -> None:  # fmt: skip
    """Closed form: a stock that is just long enough holds all; one that is 0.01 mm too short, a column fewer."""
    need = along * length + (along - 1) * spacing + 2 * margin
    stock = StockPiece(length=need - 0.01 * short, width=across * width + (across - 1) * spacing + 2 * margin)
    blank = rectangle(length, width, copies=across * along)
    if short and along == 1:
        with pytest.raises(PlacingError, match="does not fit"):
            nest([blank], stock, spacing=spacing, margin=margin)
        return
    done = nest([blank], stock, spacing=spacing, margin=margin, pieces=1)
    assert len(done.pieces[0].places) == across * (along - short)
    assert done.left_out == (across * short,)
    if not short:
        assert done.pieces[0].saw_cuts == pytest.approx(
            [margin + (i + 1) * length + (i + 0.5) * spacing for i in range(along - 1)]
        )


def test_what_is_left_of_a_bar_is_told_in_length_mass_and_yield() -> None:
    """By hand: two blanks of 100 x 40 on 50 x 1000, 5 mm everywhere: 5 + 100 + 5 + 100 and 5 for the saw."""
    done = nest([rectangle(100.0, 40.0, copies=2)], StockPiece(length=1000.0, width=50.0))
    (piece,) = done.pieces
    assert piece.used == pytest.approx(215.0)
    assert piece.saw_cuts == pytest.approx((107.5, 212.5))
    off = done.off_cut(piece)
    assert (off.length, off.width) == pytest.approx((785.0, 50.0))
    assert off.mass == pytest.approx(78.5 * 5.0 * 0.4 * STEEL.material.density_g_cm3)
    assert done.yield_percent(piece) == pytest.approx(100 * 2 * 4000 / (215 * 50))


def test_the_off_cut_of_a_sheet_may_lie_above() -> None:
    done = nest([rectangle(480.0, 40.0)], StockPiece(length=500.0, width=300.0))
    (piece,) = done.pieces
    assert piece.remnant == pytest.approx((500.0, 250.0))
    assert piece.saw_along == pytest.approx(47.5)
    assert piece.saw_cuts == ()


def test_wedges_interlock_head_to_tail() -> None:
    """Two right triangles make a rectangle: with a slanted gap they need far less than two lengths."""
    wedge = Blank(name="wedge", loop=line((0, 0), (200, 0), (0, 40), (0, 0)), stock=STEEL, copies=2)
    done = nest([wedge], StockPiece(length=1000.0, width=52.0))
    (piece,) = done.pieces
    assert {p.lying.angle_deg for p in piece.places} == {0.0, 180.0}
    # Bound: the gap is 5 mm square to the slant; 42 mm of height leave 2 mm to shift by.
    slant = math.hypot(200.0, 40.0)
    shift = (5.0 * slant - 2.0 * 200.0) / 40.0
    assert max(p.right for p in piece.places) == pytest.approx(5.0 + 200.0 + shift, abs=0.5)
    assert len(piece.saw_cuts) == 1


def test_no_two_runs_differ() -> None:
    blanks = [blank_of(load_script(EXAMPLES / f"{name}.py").knife()[0], copies=2) for name in ("galley_petty",)]
    stock = StockPiece(length=600.0, width=60.0)
    first, second = (nest(blanks, stock) for _ in range(2))
    places = [
        [(p.x, p.y, p.lying.angle_deg) for piece in done.pieces for p in piece.places] for done in (first, second)
    ]
    assert places[0] == places[1]


def test_most_fills_one_piece_and_no_more_would_fit_by_area() -> None:
    done = nest_most(rectangle(100.0, 20.0), StockPiece(length=325.0, width=55.0), spacing=5.0, margin=5.0)
    assert done.blanks[0].copies == 6
    assert len(done.pieces) == 1


def test_the_check_after_placing_finds_what_is_wrong() -> None:
    """Shifted by a hundredth of a millimetre a nest is refused: the check does not trust the placing."""
    stock = StockPiece(length=230.0, width=50.0)
    (piece,) = nest([rectangle(100.0, 40.0, copies=2)], stock).pieces
    first, second = piece.places
    assert not list(broken_distances((first, second), stock, 5.0, 5.0))
    moved = NestPlace(lying=second.lying, x=second.x - 0.01, y=second.y)
    assert "apart" in "".join(broken_distances((first, moved), stock, 5.0, 5.0))
    low = NestPlace(lying=first.lying, x=first.x, y=first.y - 0.01)
    assert "border" in "".join(broken_distances((low, second), stock, 5.0, 5.0))
    on_it = NestPlace(lying=first.lying, x=first.x + 0.01, y=first.y)
    assert list(broken_distances((first, on_it), stock, 0.0, 0.0))
    assert isinstance(first.lying, LaidBlank)


def test_grain_any_turns_what_does_not_fit_along() -> None:
    stock = StockPiece(length=60.0, width=200.0)
    with pytest.raises(PlacingError, match="across the grain"):
        nest([rectangle(150.0, 30.0)], stock)
    done = nest([rectangle(150.0, 30.0)], stock, grain="any")
    assert done.pieces[0].places[0].lying.angle_deg == 90.0


def test_a_nested_cut_drawing_holds_every_outline_and_hole_turned() -> None:
    knife = load_script(EXAMPLES / "rigging_knife.py").knife()[0]
    done = nest([blank_of(knife, copies=2)], StockPiece(length=500.0, width=60.0), flip=True)
    drawing = nest_drawing(done.pieces[0], [knife])
    holes = [item for item in drawing.items if isinstance(item, Circle)]
    loops = [item for item in drawing.items if isinstance(item, CutPath)]
    assert [item.layer for item in loops].count("NOTE") == 1
    outlines = [Polygon(flatten(item.curve, 0.01)) for item in loops if item.layer == "CUT"]
    assert len(outlines) == 2
    assert all(shapely.is_ccw(outline.exterior) for outline in outlines)
    for hole in holes:
        disc = shapely.Point(hole.x, hole.y).buffer(hole.radius)
        assert sum(outline.contains(disc) for outline in outlines) == 1
    assert len(holes) % 2 == 0
    assert holes


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"spacing": -1.0}, "spacing"),
        ({"spacing": math.nan}, "spacing"),
        ({"margin": math.inf}, "margin"),
        ({"grain": "across"}, "grain"),
        ({"pieces": 0}, "pieces"),
        ({"blanks": []}, "blanks"),
        ({"blanks": [rectangle(50.0, 20.0, copies=60), rectangle(60.0, 20.0, copies=60)]}, "at most 100"),
        (
            {"blanks": [rectangle(50.0, 20.0), rectangle(50.0, 20.0, stock=Stock(steel="1.4116", thickness=3.0))]},
            "share",
        ),
        (
            {"blanks": [rectangle(50.0, 20.0), rectangle(50.0, 20.0, stock=Stock(steel="52100", thickness=4.0))]},
            "share",
        ),
        ({"blanks": [rectangle(50.0, 20.0)] * 13}, "at most 12"),
        ({"blanks": [rectangle(191.0, 20.0)]}, "does not fit"),
    ],
)
def test_what_cannot_be_nested_is_refused_in_words(change: dict[str, object], words: str) -> None:
    call: dict[str, object] = {"blanks": [rectangle(50.0, 20.0)], **change}
    with pytest.raises((ParameterError, PlacingError), match=words):
        nest(stock=StockPiece(length=200.0, width=50.0), **call)  # type: ignore[arg-type]


@pytest.mark.parametrize("copies", [0, -1, 101, 1.5, True, math.nan])
def test_copies_are_counted(copies: object) -> None:
    with pytest.raises(ParameterError, match="copies"):
        Blank(name="B", loop=rectangle(50.0, 20.0).loop, stock=STEEL, copies=copies)  # type: ignore[arg-type]


@pytest.mark.parametrize("side", [0.0, -5.0, math.nan, math.inf, 20_001.0])
def test_stock_has_a_size(side: float) -> None:
    with pytest.raises(ParameterError, match="stock piece"):
        StockPiece(length=side, width=50.0)

"""The template: everything a maker needs stands on it, nothing overlaps, and it lies where a printer reaches."""

from __future__ import annotations

import dataclasses
import itertools
import math
from collections.abc import Callable
from functools import cache, partial

import numpy as np
import pytest
import raster
import shapely
import specimens
from draws import quick
from refusals import assert_tells
from reportlab.pdfbase.pdfmetrics import stringWidth
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, points
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import LEADER_PEN, SCRIBE_PEN, Circle, Drawing, Label, Path, Sheet
from bladegeom.drawing.sheet import PagePiece, on_smallest
from bladegeom.grinding.grind_line import grind_line
from bladegeom.knife.grind import Flank
from bladegeom.knife.hole import Hole, Slot
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.mass.weigh import weigh
from bladegeom.outline.halves import BladeProfile, HandleProfile
from bladegeom.outline.outline import join_halves
from bladegeom.placing.place import add_fasteners, add_lightening_row
from bladegeom.profiles import get
from bladegeom.quantities.balance_bands import as_on_a_finger
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import EM
from bladegeom.quantities.papers import Paper, paper
from bladegeom.sheets.blade_sheet import BladePages, blade_pages
from bladegeom.sheets.template import template_drawing

MARGIN = 10.0
"""What a printer cannot reach, mm; common practice, no source."""

PAIRS = list(itertools.product(specimens.BLADES, specimens.HANDLES))
A4, A3 = (paper("A4"), paper("A3")), (paper("A3"),)
LETTER = (paper("Letter"), paper("Tabloid"))


def drilled(knife: Knife) -> Knife:
    return add_lightening_row(add_fasteners(knife, specimens.pins("1/4"), count=2))


def pair(blade: str, handle: str) -> Knife:
    return drilled(specimens.profile(blade, handle))


def sized(blade: str, handle: str, *, blade_length: float, length: float = 115.0) -> Knife:
    halves = get(blade)(blade_length=blade_length), get(handle)(length=length)
    assert isinstance(halves[0], BladeProfile)
    assert isinstance(halves[1], HandleProfile)
    thickness, height, edge = specimens.SENSIBLE[blade]
    return drilled(specimens.ground(join_halves(*halves), thickness=thickness, height=height, edge=edge))


def crowded() -> Knife:
    """Two rows of holes one above the other, and slots."""
    holes = [
        Hole(x=-20.0 - 9 * i, y=y, diameter=3.0 + 0.2 * i, purpose="lightening") for i in range(8) for y in (-8, -17)
    ]
    slot = Slot(start=(-95.0, -8.0), end=(-105.0, -16.0), diameter=5.0, purpose="lightening", made="drilled")
    return specimens.drop_point(holes=(*holes, slot), lean=20.0, front_lean_deg=10.0, plunge=16.0)


def swarm() -> Knife:
    """So many holes that their notes must be pushed apart."""
    holes = [Hole(x=-15.0 - 1.7 * i, y=-7.0 - 3.0 * (i % 4), diameter=1.2, purpose="lightening") for i in range(24)]
    return specimens.drop_point(holes=tuple(holes))


def small() -> Knife:
    """A blade too small for the bevel's measures."""
    halves = get("drop_point")(blade_length=62.0, height=24.0), get("straight")(length=90.0)
    assert isinstance(halves[0], BladeProfile)
    assert isinstance(halves[1], HandleProfile)
    return specimens.ground(join_halves(*halves), thickness=2.5, height=8.0, lean=25.0)


def left_only() -> Knife:
    """Ground on the face that the template does not show, on tapered stock."""
    specimen = specimens.drop_point()
    stock = dataclasses.replace(specimen.stock, taper=((10.0, 4.0), (110.0, 2.0)))
    return dataclasses.replace(specimen, grind=dataclasses.replace(specimen.grind, only="left"), stock=stock)


DESIGNS: dict[str, Callable[[], Knife]] = {
    **{f"{blade} {handle}": partial(pair, blade, handle) for blade, handle in PAIRS},
    "300 mm": lambda: sized("petty", "straight", blade_length=185.0),
    "no holes": specimens.drop_point,
    "crowded": crowded,
    "swarm": swarm,
    "small": small,
    "left side only": left_only,
    "recurve": lambda: specimens.recurve(front_lean_deg=-5.0, lean=-10.0),
    "hole in the blade": lambda: specimens.chef(
        holes=(Hole(x=100.0, y=-20.0, diameter=20.0, purpose="lightening"),), plunge=40.0
    ),
    "hole off the steel": lambda: specimens.petty(holes=(Hole(x=-140.0, y=-60.0, diameter=4.0, purpose="lightening"),)),
}


MOST = ("drop_point swelled", "chef straight", "300 mm", "crowded", "swarm", "small", "left side only", "recurve")
"""What the quick suite lays out; the other pairs of profiles, and holes where none belong, in the long one."""

every_design = pytest.mark.parametrize("name", quick(DESIGNS, *MOST))


@cache
def knife(name: str) -> Knife:
    return DESIGNS[name]()


@cache
def sheet(name: str, papers: tuple[Paper, ...] = A4) -> tuple[str, Sheet]:
    specimen = knife(name)
    return whole(blade_pages(Design(specimen, parameters={"blade_length": 110.0, "steel": "1084"}), papers))


def whole(found: tuple[BladePages, ...]) -> tuple[str, Sheet]:
    """The paper on which the right face is in one piece, and its sheet."""
    pages = found[-1]
    (page,) = pages.faces["right"]
    return pages.paper.name, page


def labels(drawing: Drawing) -> list[Label]:
    return [item for item in drawing.items if isinstance(item, Label)]


def written(drawing: Drawing) -> str:
    return "\n".join(label.text for label in labels(drawing))


def box(label: Label) -> Polygon:
    """What the ink of a text covers: Helvetica's ascender of 0.718 em, its descender of 0.207 em (Adobe AFM)."""
    size = label.height * EM
    width = stringWidth(label.text, "Helvetica-Bold" if label.bold else "Helvetica", size)
    left = {"start": 0.0, "middle": -width / 2, "end": -width}[label.anchor]
    a = math.radians(label.angle_deg)
    turn = np.array([[math.cos(a), -math.sin(a)], [math.sin(a), math.cos(a)]])
    corners = [(left, -0.207 * size), (left + width, -0.207 * size), (left + width, 0.718 * size), (left, 0.718 * size)]
    return Polygon(np.array(corners) @ turn.T + [label.x, label.y])


def ink(item: Path | Circle | Label) -> BaseGeometry:
    if isinstance(item, Label):
        return box(item)
    if isinstance(item, Circle):
        return Point(item.x, item.y).buffer(item.radius)
    return LineString(points(item.curve, np.linspace(0, len(item.curve), 40 * len(item.curve) + 1)))


def has_path(drawing: Drawing, curve: Curve, layer: str) -> bool:
    return any(isinstance(i, Path) and i.layer == layer and i.curve == curve for i in drawing.items)


@pytest.mark.parametrize("name", ["drop_point swelled", "chef birds_head", "crowded"])
def test_every_line_of_the_design_is_on_the_template(name: str) -> None:
    specimen = knife(name)
    drawing = template_drawing(specimen)
    assert has_path(drawing, specimen.outline.loop, "CUT")
    assert has_path(drawing, specimen.plunge_line, "MARK")
    assert has_path(drawing, specimen.handle_front, "MARK")
    scribed = [i.curve for i in drawing.items if isinstance(i, Path) and i.pen == SCRIBE_PEN]
    for row in grind_line(specimen):
        (drawn,) = (c for c in scribed if len(c) == len(row) - 1 and c.start == tuple(row[0]))
        np.testing.assert_array_equal(drawn.pieces[:, 3], row[1:])


def test_every_hole_has_rim_cross_punch_mark_and_diameter() -> None:
    specimen = dataclasses.replace(
        specimens.drop_point(),
        holes=(
            Hole(x=-30.0, y=-12.0, diameter=6.35, purpose="fastener", made="drilled"),
            Hole(x=-50.0, y=-13.0, diameter=9.0, purpose="lightening"),
            Slot(start=(-70.0, -13.0), end=(-80.0, -13.0), diameter=5.0, purpose="lightening"),
        ),
    )
    drawing = template_drawing(specimen)
    circles = {(c.layer, c.x, c.y, c.radius) for c in drawing.items if isinstance(c, Circle)}
    assert {("DRILL", -30.0, -12.0, 3.175), ("CUT", -50.0, -13.0, 4.5)} <= circles
    assert has_path(drawing, specimen.holes[2].outline, "CUT")
    for x, y, reach in ((-30, -12, 3.175), (-50, -13, 4.5), (-70, -13, 2.5), (-80, -13, 2.5)):
        cross = [
            i.curve
            for i in drawing.items
            if isinstance(i, Path) and i.layer == "MARK" and np.allclose(points(i.curve, 0.5), [[x, y]])
        ]
        assert {(round(c.end[0] - c.start[0]), round(c.end[1] - c.start[1])) for c in cross} == {
            (round(2 * reach + 2), 0),
            (0, round(2 * reach + 2)),
        }
        assert any(i[1:3] == (x, y) and i[3] < 0.5 for i in circles)
    # 6.35 mm is 1/4 in and 9 mm is 0.354 in, by definition of the inch.
    assert {
        "F1 dia. 6.35 mm (1/4 in), drilled",
        "L1 dia. 9.00 mm (0.354 in), cut",
        "L2 slot 5.00 mm (0.197 in) wide, 15.00 mm (0.591 in) long, cut",
    } <= {label.text for label in labels(drawing)}


@pytest.mark.parametrize("name", ["drop_point swelled", "chef straight"])
def test_balance_points_stand_where_the_weighing_says(name: str) -> None:
    specimen = knife(name)
    weighing = weigh(specimen)
    drawing = template_drawing(specimen)
    circles = [c for c in drawing.items if isinstance(c, Circle)]
    for (x, y, _), text in (
        (weighing.total.centre, "balance "),
        (weighing.without_lightening.centre, "balance without"),
    ):
        assert any((c.x, c.y) == (x, y) for c in circles)
        (label,) = (
            m for m in labels(drawing) if m.text.startswith(text) and ("without" in text) == ("without" in m.text)
        )
        assert label.text.endswith(as_on_a_finger(x))
        leader = [
            i.curve for i in drawing.items if isinstance(i, Path) and i.pen == LEADER_PEN and i.curve.start == (x, y)
        ]
        assert len(leader) == 1


@pytest.mark.parametrize(("x", "dots"), [(-100.0, 0), (-31.0, 1)])
def test_balance_marks_do_not_cover_each_other(x: float, dots: int) -> None:
    # A hole far behind the balance point shifts it by more than 1 mm, one at the balance point hardly at all.
    specimen = specimens.drop_point(holes=(Hole(x=x, y=-13.0, diameter=12.0, purpose="lightening"),))
    weighing = weigh(specimen)
    first, second = weighing.total.centre, weighing.without_lightening.centre
    apart = math.dist(first[:2], second[:2])
    assert (apart < 1.0) == bool(dots)
    radius = {
        (c.x, c.y): c.radius for c in template_drawing(specimen).items if isinstance(c, Circle) and c.layer == "NOTE"
    }
    at_first, at_second = radius[first[:2]], radius[second[:2]]
    if dots:
        assert at_second < 0.3 < at_first
    else:
        assert at_first + at_second < apart


def test_a_knife_without_lightening_holes_has_one_balance_point() -> None:
    specimen = knife("no holes")
    drawing = template_drawing(specimen)
    assert written(drawing).count("balance") == 1


@every_design
@pytest.mark.parametrize("papers", quick([A4, LETTER], A4), ids=["A4", "Letter"])
def test_texts_keep_off_each_other_and_off_the_bars(name: str, papers: tuple[Paper, ...]) -> None:
    _, page = sheet(name, papers)
    boxes = [(label.text, box(label)) for label in labels(page.drawing)]
    for (text, polygon), (other, two) in itertools.combinations(boxes, 2):
        assert not polygon.intersects(two), (text, other)
    for bar in raster.bars(page).values():
        # 3.5 mm: the longest tick and a little.
        strip = LineString([bar.start, bar.end]).buffer(3.5)
        numbers = {"100 mm", "4 in", *(str(i) for i in range(101))}
        assert not [text for text, polygon in boxes if polygon.intersects(strip) and text not in numbers]


@every_design
def test_no_line_runs_through_a_text(name: str) -> None:
    specimen = knife(name)
    drawing = template_drawing(specimen)
    lines = [(item, ink(item)) for item in drawing.items if not isinstance(item, Label)]
    for label in labels(drawing):
        struck = [item for item, line in lines if line.intersects(box(label))]
        assert not struck, label.text


@every_design
@pytest.mark.parametrize("papers", quick([A4, LETTER, A3], A4), ids=["A4", "Letter", "A3"])
def test_everything_lies_where_a_printer_reaches(name: str, papers: tuple[Paper, ...]) -> None:
    _, page = sheet(name, papers)
    reach = shapely.box(MARGIN, MARGIN, page.width - MARGIN, page.height - MARGIN).buffer(1e-6)
    out = [item for item in page.drawing.items if not ink(item).within(reach)]
    assert not out


def solid(item: Path | Circle | Label) -> BaseGeometry:
    """What an item covers; a closed line covers what lies within."""
    line = ink(item)
    return Polygon(line.coords).buffer(0) if isinstance(item, Path) and item.closed else line


@every_design
def test_piece_keeps_off_title_notes_and_bars(name: str) -> None:
    _, page = sheet(name)
    items = page.drawing.items
    # The piece comes last, and begins with the leader or the mark of a balance point; the bars come before it.
    first = 1 + max(i for i, item in enumerate(items) if isinstance(item, Label) and item.text == "4 in")
    first += next(i for i, item in enumerate(items[first:]) if not isinstance(item, Label))
    piece = shapely.union_all([solid(item) for item in items[first:]])
    # 2.8 mm: the 3 mm that are kept clear, less the corners cut off their rounding and the border's own 0.1 mm.
    assert min(ink(item).distance(piece) for item in items[:first]) > 2.8


def angle_on(page: Sheet) -> float:
    (label,) = (m for m in labels(page.drawing) if m.text == "spine")
    return label.angle_deg


@pytest.mark.parametrize(("papers", "name"), [(A4, "A4"), (LETTER, "Letter")])
def test_228_mm_lies_flat_on_a_small_page(papers: tuple[Paper, ...], name: str) -> None:
    specimen = knife("drop_point swelled")
    assert specimen.outline.bounds[2] - specimen.outline.bounds[0] == pytest.approx(228.0)
    chosen, page = sheet("drop_point swelled", papers)
    assert (chosen, angle_on(page)) == (name, 0.0)


def test_300_mm_is_turned_to_fit_a4() -> None:
    specimen = knife("300 mm")
    assert specimen.outline.bounds[2] - specimen.outline.bounds[0] == pytest.approx(300.0)
    chosen, page = sheet("300 mm")
    assert chosen == "A4"
    # The printable area is 277 mm wide; 190 mm high, it takes 300 mm only between acos(277 / 300) and asin(190 / 300).
    assert 22.0 < -angle_on(page) < 40.0


@pytest.mark.parametrize(("papers", "name"), [(A4, "A3"), (LETTER, "Tabloid")])
def test_340_mm_needs_the_larger_page(papers: tuple[Paper, ...], name: str) -> None:
    # The diagonal of A4's printable area is 336 mm, that of Letter's 325 mm.
    chosen, page = sheet("chef straight", papers)
    assert (chosen, angle_on(page)) == (name, 0.0)
    specimen = knife("chef straight")
    tiled, _ = blade_pages(Design(specimen), papers)
    assert (tiled.paper.name, len(tiled.faces["right"])) == (papers[0].name, 2)


def test_paper_is_true_size_and_lying() -> None:
    # ISO 216: A4 is 210 x 297 mm.
    _, page = sheet("drop_point swelled")
    assert (page.width, page.height) == (297.0, 210.0)


def test_piece_is_true_size_however_it_lies() -> None:
    for name in ("drop_point swelled", "300 mm"):
        specimen, (_, page) = knife(name), sheet(name)
        (drawn,) = (
            i.curve for i in page.drawing.items if isinstance(i, Path) and i.layer == "CUT" and len(i.curve) > 4
        )
        loop = specimen.outline.loop.pieces
        apart = np.linalg.norm(drawn.pieces[:, 0] - drawn.pieces[0, 0], axis=1)
        np.testing.assert_allclose(apart, np.linalg.norm(loop[:, 0] - loop[0, 0], axis=1), atol=1e-9)
        # Turned, not mirrored: the signed area of the control polygon keeps its sign.
        assert Polygon(drawn.pieces[:, 0]).exterior.is_ccw == Polygon(loop[:, 0]).exterior.is_ccw


@pytest.mark.parametrize("name", ["drop_point swelled", "300 mm"])
def test_page_carries_bars_in_mm_and_inch_along_both_axes(name: str) -> None:
    _, page = sheet(name)
    assert set(raster.bars(page)) == {("x", 100.0), ("x", 101.6), ("y", 100.0), ("y", 101.6)}
    texts = [label.text for label in labels(page.drawing)]
    for end in ("100 mm", "4 in"):
        assert texts.count(end) == 2


def test_page_says_what_it_is_and_what_to_mind() -> None:
    specimen = dataclasses.replace(knife("drop_point swelled"), name="Rigging knife", revision="C2")
    remark = "OVERRIDDEN by the maker: rim: hole L1 is close"
    _, page = whole(blade_pages(Design(specimen, parameters={"blade_length": 110.0}), A4, remarks=[remark]))
    text = written(page.drawing)
    weighing = weigh(specimen)
    for wanted in (
        "Rigging knife, revision C2",
        "right face",
        "1084, 4 mm",
        "228 mm",
        f"{weighing.total.amount:.0f} g",
        "blade_length 110.0",
        remark,
        "100 %",
        "99.5 to 100.5 mm",
        "3.98 to 4.02 in",
        "Cut outside the line",
        "the steel maker's, the shop's and local rules come first",
        "bevel 16.0 mm",
        "edge thickness 0.50 mm",
        "handle front",
        "plunge line",
    ):
        assert wanted in text, wanted
    assert {"spine", "edge"} <= set(text.splitlines())


def test_a_handed_knife_has_a_template_for_each_face() -> None:
    specimen = knife("left side only")
    (pages,) = blade_pages(Design(specimen), A4)
    right, left = (pages.faces[flank][0] for flank in ("right", "left"))
    for page, name, other in ((right, "RIGHT FACE", "LEFT FACE"), (left, "LEFT FACE", "RIGHT FACE")):
        assert f"Blade template, {name}" in written(page.drawing)
        assert (other in written(page.drawing)) is (right is left)
        assert any(label.text.endswith(name) and label.height <= 2.0 for label in labels(page.drawing))
    faces: tuple[Flank, ...] = ("right", "left")
    drawn = [template_drawing(specimen, face=face).items for face in faces]
    scribed = [sum(isinstance(i, Path) and i.pen == SCRIBE_PEN for i in items) for items in drawn]
    # Handle front and plunge line on both, the grind line on the ground face alone.
    assert scribed == [2, 2 + len(grind_line(specimen, flank="left"))]
    assert scribed[1] > 2
    assert set(blade_pages(Design(knife("no holes")), A4)[0].faces) == {"right"}


@pytest.mark.parametrize("name", ["left side only", "crowded"])
def test_the_left_face_is_the_mirror_image_with_readable_text(name: str) -> None:
    specimen = knife(name)
    seen, mirrored = (
        template_drawing(specimen, face="left").mirrored(),
        template_drawing(specimen, face="left"),
    )
    for before, after in zip(seen.items, mirrored.items, strict=True):
        flipped = ink(before)
        if isinstance(before, Path) and isinstance(after, Path):
            np.testing.assert_array_equal(after.curve.pieces, before.curve.pieces * [-1.0, 1.0])
        elif isinstance(before, Label) and isinstance(after, Label):
            assert after.text == before.text
            assert abs(after.angle_deg) <= 90.0
            same = shapely.transform(flipped, lambda xy: xy * [-1.0, 1.0])
            assert same.symmetric_difference(ink(after)).area < 1e-6
    loop = next(i for i in mirrored.items if isinstance(i, Path) and i.layer == "CUT" and len(i.curve) > 4).curve
    # Seen from the left the tip points to the left.
    assert loop.pieces[..., 0].min() == -specimen.outline.bounds[2]


def test_every_piece_bears_its_revision_id() -> None:
    specimen = knife("drop_point swelled")
    drawing = template_drawing(specimen)
    (mark,) = (label for label in labels(drawing) if revision_id(specimen) in label.text)
    assert specimen.outline.polygon.contains(box(mark))


# Source: the largest rectangle of a height that a turned frame holds, width w = l cos a + h sin a, height likewise.
@pytest.mark.parametrize("name", ["A4", "Letter", "Legal", "Tabloid"])
@pytest.mark.parametrize("height", [30.0, 40.0, 50.0])
def test_a_piece_takes_the_whole_diagonal(name: str, height: float) -> None:
    """Notes and bars make room, not the piece."""
    size = paper(name)
    a = np.radians(np.arange(0.5, 89.5, 0.005))
    longest = np.minimum(
        (size.height - 2 * MARGIN - height * np.sin(a)) / np.cos(a),
        (size.width - 2 * MARGIN - height * np.cos(a)) / np.sin(a),
    ).max()
    head = (
        "Rigging knife, revision B-3f2a91c4",
        "Blade template, right face. 1084, 4 mm (0.157 in) thick.",
        "Overall length 300.00 mm (11.811 in): check it with calipers on the print, and again after gluing.",
        "Whole knife 408 g, steel 296 g.",
        "Parameters: blade_length 165.0, thickness 5.0, steel 52100.",
    )
    for short, fits in ((0.35, True), (-0.05, False)):
        wide = float(longest) - short
        border = line((0, 0), (wide, 0), (wide, height), (0, height), (0, 0))
        piece = Drawing(name="x", items=(Path(layer="CUT", curve=border, closed=True),))
        page = PagePiece(drawing=piece, head=head, foot=("Cut outside the line.",), turns=True).on(size)
        assert (page is not None) == fits
        if page is not None:
            reach = shapely.box(MARGIN, MARGIN, page.width - MARGIN, page.height - MARGIN).buffer(1e-6)
            assert all(ink(item).within(reach) for item in page.drawing.items)


def test_a_high_narrow_piece_stands() -> None:
    border = line((0, 0), (60, 0), (60, 225), (0, 225), (0, 0))
    piece = Drawing(name="x", items=(Path(layer="CUT", curve=border, closed=True),))
    page = PagePiece(drawing=piece, head=("t",), foot=("f",), turns=True).on(paper("A4"))
    assert page is not None
    assert (page.width, page.height) == (210.0, 297.0)


def test_page_says_which_side_is_ground_and_what_is_tapered() -> None:
    specimen = knife("left side only")
    _, page = sheet("left side only")
    text = " ".join(written(page.drawing).split())
    assert "Ground on the left side only." in text
    assert "bevel 16.0 mm (0.630 in), left side only" in text
    assert "tapered: 4.00 mm (0.157 in) at x 10.00, 2.00 mm (0.079 in) at x 110.00; the tang 4.00 mm (" in text
    assert specimen.grind.only == "left"


def test_long_names_and_many_remarks_are_wrapped() -> None:
    specimen = dataclasses.replace(knife("drop_point swelled"), name="A very long name " * 12, revision="draft")
    _, page = whole(blade_pages(Design(specimen), A4, remarks=["a long remark " * 30]))
    title = [label for label in labels(page.drawing) if label.bold and label.height == 4.0]
    assert len(title) > 1
    assert " ".join(label.text for label in title) == " ".join(
        f"{specimen.name}, revision {revision_id(specimen)}".split()
    )


def test_text_that_leaves_no_room_goes_to_a_larger_page_or_is_told() -> None:
    specimen = knife("drop_point swelled")
    many = [f"remark {i}" for i in range(90)]
    (pages,) = blade_pages(Design(specimen), A4, remarks=many)
    assert pages.paper.name == "A3"
    with pytest.raises(ExportError, match="on A4"):
        blade_pages(Design(specimen), A4[:1], remarks=many)


def test_too_large_a_piece_names_both_sizes() -> None:
    square = Drawing(name="Plate", items=(Circle(layer="CUT", x=0, y=0, radius=300),))
    piece = PagePiece(drawing=square, head=("t",), foot=("f",), turns=True)
    assert piece.on(paper("A3")) is None
    with pytest.raises(ExportError) as caught:
        on_smallest((piece,), A4)
    assert_tells(str(caught.value), "Plate", "A3")


@pytest.mark.parametrize("name", ["crowded", "swarm"])
def test_notes_of_crowded_holes_belong_to_their_holes(name: str) -> None:
    """A leader begins at its own hole's rim and meets no other."""
    specimen = knife(name)
    drawing = template_drawing(specimen)
    rims = {
        hole_id: LineString(hole.axis).buffer(hole.diameter / 2, quad_segs=64)
        for hole, hole_id in zip(specimen.openings, specimen.hole_ids, strict=True)
    }
    notes = [(i, drawing.items[n + 1]) for n, i in enumerate(drawing.items[:-1]) if isinstance(i, Path)]
    told = set()
    for leader, label in notes:
        if leader.pen != LEADER_PEN or not isinstance(label, Label) or label.text.split()[0] not in rims:
            continue
        own = label.text.split()[0]
        told.add(own)
        assert Point(leader.curve.start).distance(rims[own].exterior) < 0.01
        assert Point(leader.curve.end).distance(box(label)) < 1.0
        crossed = [other for other, rim in rims.items() if other != own and ink(leader).intersects(rim)]
        assert not crossed, own
    assert told == set(specimen.hole_ids)


def test_a_hole_too_small_for_the_process_is_drawn_for_the_drill() -> None:
    small = Hole(x=-60.0, y=-13.0, diameter=1.5, purpose="lightening")
    knife = specimens.drop_point(holes=(small,))
    assert small.made == "cut"
    drawn = [item for item in template_drawing(knife).items if isinstance(item, Circle) and item.radius == 0.75]
    assert [item.layer for item in drawn] == ["DRILL"]

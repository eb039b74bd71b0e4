"""Templates of scales and liners, and the pages of the handle: true, mirrored, complete, nothing over anything else."""

from __future__ import annotations

import dataclasses
import itertools
import math
import re
from collections.abc import Callable, Sequence
from functools import cache
from typing import Any, Literal

import fastened
import numpy as np
import pytest
import shapely
import specimens
from draws import quick
from shapely import LineString, Point, Polygon, affinity
from shapely.geometry.base import BaseGeometry
from specimens import bar_outline, drop_point, ground

from bladegeom.book.handle_pages import gathered, handle_pages, size_rows
from bladegeom.curves.curve import points
from bladegeom.curves.flatten import flatten
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import SCRIBE_PEN, SMALL_TEXT, THIN_PEN, Circle, Drawing, Item, Label, Path, Sheet
from bladegeom.drawing.ruler import MARGIN, bars
from bladegeom.fasteners.bolt.kind import ShoulderedBolt
from bladegeom.fasteners.pin import Pin
from bladegeom.fasteners.stack import stacks
from bladegeom.fasteners.standoff.kind import StandoffScrews
from bladegeom.handle.hand import hand_words
from bladegeom.handle.scale_blank import blanks, cut_out
from bladegeom.handle.section import handle_sections
from bladegeom.knife.fastener import Fastener
from bladegeom.knife.hole import Hole, Slot
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.knife.scales import Liner, Rounding, Scales
from bladegeom.placing.place import add_lightening_row
from bladegeom.quantities.number_alone import alone
from bladegeom.quantities.papers import Paper, paper
from bladegeom.quantities.shown import caliper_length, rule_length
from bladegeom.quantities.units import inch, show_length
from bladegeom.sheets.blade_sheet import blade_pages
from bladegeom.sheets.gauge import TOLERANCE
from bladegeom.sheets.handle_gauge import EAR, card_size, gauge_outline
from bladegeom.sheets.scale_pages import hole_rows
from bladegeom.sheets.scale_sheet import FLAT_PEN, INSIDE_PEN, SAW_PEN, liner_piece, scale_piece
from bladegeom.sheets.template import template_drawing

A4, LETTER = (paper("A4"), paper("A3")), (paper("Letter"), paper("Tabloid"))

DOMED = (Rounding(width=9.0, depth=2.0), Rounding(width=2.0, depth=2.0))
LINER = (Liner(sheet="NEMA G-10", thickness=0.8),)


def scales(**more: Any) -> Scales:
    return Scales(**{"slab": "NEMA L", "thickness": 8.0, **more})


def pins(knife: Knife, *xs: float) -> Knife:
    """A pin of 3/16 at each of some x, on the mid line."""
    mid = knife.outline.mid_line[::-1]
    rod = Pin(rod="C26000", diameter=inch("3/16"))
    at = (Fastener(x=x, y=float(np.interp(x, mid[:, 0], mid[:, 1])), hardware=rod) for x in xs)
    return dataclasses.replace(knife, fasteners=tuple(at))


def standoffs() -> Knife:
    hardware = StandoffScrews(thread="#6-32", diameter=inch("1/4"), length=inch("1/2"))
    knife = drop_point(scales=scales(thickness=8.5, liners=LINER, rounding=DOMED), front_lean_deg=10.0)
    return dataclasses.replace(
        knife, fasteners=tuple(Fastener(x=x, y=y, hardware=hardware) for x, y in ((-22.0, -11.0), (-84.0, -15.5)))
    )


def bolts() -> Knife:
    hardware = ShoulderedBolt(
        metal="304",
        thread="#8-32",
        head_diameter=9.5,
        head_height=4.0,
        shoulder_diameter=inch("1/4"),
        shoulder_length=10.5,
        stud_length=6.0,
    )
    knife = ground(bar_outline(tang=110.0), scales=scales(thickness=10.0))
    return dataclasses.replace(
        knife, fasteners=tuple(Fastener(x=x, y=-15.0, hardware=hardware) for x in (-25.0, -85.0))
    )


def bare() -> Knife:
    """A thong's hole and a slot, no hardware; lightening holes that the scales cover; scales cut to the line."""
    holes = (
        Hole(x=-104.0, y=-16.0, diameter=6.0, purpose="lanyard"),
        Slot(start=(-85.0, -14.0), end=(-92.0, -16.0), diameter=4.0, purpose="lanyard"),
    )
    return add_lightening_row(drop_point(scales=scales(overhang=0.0), holes=holes))


def tiny() -> Knife:
    outline = bar_outline(height=14.0, blade=45.0, tang=60.0, heel=6.0)
    return ground(outline, thickness=1.6, height=8.0, edge=0.2, scales=scales(rounding=Rounding(width=3.0, depth=3.0)))


def long_name() -> Knife:
    return dataclasses.replace(standoffs(), name="A rigging knife for the second mate, with his initials on it")


DESIGNS: dict[str, Callable[[], Knife]] = {
    "standoffs": standoffs,
    "bolts": bolts,
    "bare": bare,
    "tiny": tiny,
    "long name": long_name,
    "bird's head": lambda: pins(specimens.chef(scales=scales(rounding=DOMED), front_bow=1.5), -18.0, -54.0, -92.0),
    "straight": lambda: pins(specimens.petty(scales=scales(), hand_breadth=75.0), -16.0, -54.0, -92.0),
    "leaning bow": lambda: pins(
        specimens.petty(scales=scales(rounding=DOMED), front_lean_deg=25.0, front_bow=2.0), -20.0, -54.0, -92.0
    ),
    "hollow front": lambda: pins(drop_point(scales=scales(), front_lean_deg=25.0, front_bow=-2.0), -30.0, -90.0),
    "front rounded only": lambda: drop_point(scales=scales(front_rounding=Rounding(width=2.0, depth=2.0))),
    "stub": lambda: ground(bar_outline(tang=10.0), scales=scales()),
}

MOST = ("standoffs", "bolts", "bare", "tiny", "bird's head", "hollow front", "stub")
"""What the quick suite lays out; a long name and the other fronts in the long one."""

every_design = pytest.mark.parametrize("name", quick(DESIGNS, *MOST))


@cache
def knife(name: str) -> Knife:
    return DESIGNS[name]()


@cache
def piece(name: str, side: Literal["right", "left"]) -> Drawing:
    specimen = knife(name)
    assert specimen.scales is not None
    return scale_piece(specimen, specimen.scales, side, handle_sections(specimen))


@cache
def pages(name: str) -> tuple[Sheet, ...]:
    return all_pages(Design(knife(name)), A4)


def all_pages(design: Design, papers: Sequence[Paper], remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """Of the handle: those on which a template of it stands, and those of its chapter."""
    templates = (sheet for pages in blade_pages(design, papers, remarks=remarks) for sheet in pages.sheets)
    parts = ("SCALE, outside up", "LINER, cut two", "Holes in each scale")
    of_handle = (s for s in templates if any(part in text for part in parts for text in texts(s.drawing.items)))
    return (*of_handle, *handle_pages(design, papers, remarks=remarks))


def texts(items: tuple[Item, ...]) -> list[str]:
    return [item.text for item in items if isinstance(item, Label)]


def ink(item: Item) -> BaseGeometry:
    if isinstance(item, Label):
        return Polygon(item.corners)
    if isinstance(item, Circle):
        disc = Point(item.x, item.y).buffer(item.radius)
        return disc if item.filled else disc.exterior
    return LineString(flatten(item.curve, 0.02))


def paths(drawing: Drawing, layer: str) -> list[Path]:
    return [item for item in drawing.items if isinstance(item, Path) and item.layer == layer]


def circles(drawing: Drawing, layer: str) -> list[Circle]:
    return [item for item in drawing.items if isinstance(item, Circle) and item.layer == layer and not item.filled]


@every_design
def test_left_is_the_mirror_image_of_right(name: str) -> None:
    right, left = (piece(name, side).items for side in ("right", "left"))
    # Text and the arrow of the grain stand where there is room.
    lines = [
        [i for i in items if not isinstance(i, Label) and (i.layer, i.pen) != ("NOTE", THIN_PEN)]
        for items in (right, left)
    ]
    assert len(lines[0]) == len(lines[1])
    for a, b in zip(*lines, strict=True):
        assert (a.layer, a.pen) == (b.layer, b.pen)
        if isinstance(a, Path):
            assert isinstance(b, Path)
            assert b.curve.pieces == pytest.approx(a.curve.pieces * (-1.0, 1.0))
        else:
            assert isinstance(b, Circle)
            assert (b.x, b.y, b.radius) == (-a.x, a.y, a.radius)
    # Text is not mirrored: it can be read, and says which is which.
    assert sum("RIGHT SCALE, outside up" in text for text in texts(right)) == 1
    assert sum("LEFT SCALE, outside up" in text for text in texts(left)) == 1
    assert not any("LEFT" in text for text in texts(right))
    assert not any("RIGHT" in text for text in texts(left))


@every_design
def test_which_side_is_up_stands_on_the_piece(name: str) -> None:
    specimen = knife(name)
    for side, hand in (("right", 1.0), ("left", -1.0)):
        region = affinity.scale(specimen.handle_region, xfact=hand, origin=(0.0, 0.0))
        labels = [item for item in piece(name, "right" if side == "right" else "left").items if isinstance(item, Label)]
        if name != "stub":  # 10 mm of handle hold no line of text
            inside = [label.text for label in labels if region.contains(Polygon(label.corners))]
            assert f"{side.upper()} SCALE, outside up" in inside
            assert "other face: INSIDE, to the tang" in inside
            # A name that takes more than two lines is cut; what tells the knives apart is not.
            named = "A rigging knife for the ..." if name == "long name" else f"{specimen.name},"
            assert f"{named} {revision_id(specimen)}" in " ".join(inside)
        assert "finish before gluing" in [label.text for label in labels]
        # The front is on the right of a right scale.
        front = next(label for label in labels if label.text == "handle front:")
        assert (front.x > region.centroid.x) == (hand > 0)


@every_design
def test_nothing_on_a_piece_overlaps(name: str) -> None:
    for side in ("right", "left"):
        items = piece(name, "right" if side == "right" else "left").items
        labels = [item for item in items if isinstance(item, Label)]
        others = shapely.union_all([ink(item) for item in items if not isinstance(item, Label)])
        for label in labels:
            assert not others.intersects(Polygon(label.corners)), label.text
        for a, b in itertools.combinations(labels, 2):
            assert not Polygon(a.corners).intersects(Polygon(b.corners)), (a.text, b.text)


@every_design
def test_lines_of_a_piece(name: str) -> None:
    specimen = knife(name)
    assert specimen.scales is not None
    right = piece(name, "right")
    (cut,) = paths(right, "CUT")
    assert cut.closed
    assert cut.pen == SAW_PEN
    assert cut.curve == cut_out(specimen, specimen.scales)
    front = points(specimen.handle_front, np.linspace(0.0, len(specimen.handle_front), 50))
    assert shapely.distance(shapely.points(front), LineString(flatten(cut.curve, 0.001))).max() < 2e-3
    dashed = [path for path in paths(right, "MARK") if path.pen == SCRIBE_PEN]
    if specimen.scales.overhang:
        (border,) = dashed
        assert border.curve.start == pytest.approx((0.0, 0.0), abs=1e-6)
        assert border.curve.end == pytest.approx(specimen.handle_front.end, abs=1e-6)
        assert LineString(flatten(border.curve, 0.001)).within(specimen.handle_region.exterior.buffer(0.01))
    else:
        assert not dashed


@pytest.mark.parametrize(("name", "width"), [("bird's head", 9.0), ("standoffs", 9.0), ("tiny", 3.0)])
def test_where_the_rounding_begins(name: str, width: float) -> None:
    specimen = knife(name)
    assert specimen.scale_face is not None
    border = LineString(specimen.scale_face.border.vertices)
    flat = [path for path in paths(piece(name, "right"), "MARK") if path.pen == FLAT_PEN]
    assert flat
    assert texts(piece(name, "right").items).count("flat begins") == 1
    for path in flat:
        away = shapely.distance(shapely.points(points(path.curve, np.linspace(0, len(path.curve), 400))), border)
        assert away == pytest.approx(np.full(400, width), abs=0.02)


def test_nothing_marks_a_rounding_that_is_not_there() -> None:
    lines = [path for path in paths(piece("straight", "right"), "MARK") if path.pen == THIN_PEN]
    assert len(lines) == 2 * 3  # the crosses of three pins
    assert not [path for path in paths(piece("straight", "right"), "MARK") if path.pen == FLAT_PEN]
    assert "flat begins" not in texts(piece("straight", "right").items)


def test_a_rounded_front_alone() -> None:
    specimen = knife("front rounded only")
    (line,) = (path for path in paths(piece("front rounded only", "right"), "MARK") if path.pen == FLAT_PEN)
    away = LineString(flatten(specimen.handle_front, 0.001)).distance
    assert all(away(Point(p)) == pytest.approx(2.0, abs=0.01) for p in flatten(line.curve, 0.01))


@pytest.mark.parametrize("name", ["standoffs", "bolts", "bird's head", "bare"])
def test_holes(name: str) -> None:
    specimen = knife(name)
    right = piece(name, "right")
    through = {(c.x, c.y, c.radius) for c in circles(right, "DRILL")}
    sunk = {(c.x, c.y, c.radius, c.pen) for c in circles(right, "MARK")}
    for stack in stacks(specimen):
        x, y = stack.layers.fastener.x, stack.layers.fastener.y
        for cut in stack.cuts:
            if cut.bore.layer == "scale":
                key = (x, y, cut.bore.diameter / 2)
                if cut.face is None:
                    assert key in through
                else:
                    assert (*key, INSIDE_PEN if cut.face == "inside" else THIN_PEN) in sunk
    assert len(through) == len(specimen.fasteners)
    assert len(sunk) == {"standoffs": 4, "bolts": 2}.get(name, 0)
    dots = {(c.x, c.y) for c in right.items if isinstance(c, Circle) and c.filled}
    assert dots >= {(f.x, f.y) for f in specimen.fasteners}


def test_bare_holes_go_through_and_lightening_holes_do_not() -> None:
    specimen = knife("bare")
    assert any(hole.purpose == "lightening" for hole in specimen.holes)
    outlines = {path.curve for path in paths(piece("bare", "right"), "DRILL")}
    assert outlines == {hole.outline for hole in specimen.holes if hole.purpose == "lanyard"}
    names = texts(piece("bare", "right").items)
    assert {"T1", "T2"} <= set(names)
    assert not any(name.startswith("L1") for name in names)
    rows = {row[0]: row[1] for row in hole_rows(specimen)}
    assert rows["T1"].startswith("slot 4.00 mm")
    assert "11.28 mm" in rows["T1"]
    assert rows["T2"] == "dia. 6.00 mm (0.236 in)"


def test_hole_rows_tell_face_and_depth() -> None:
    specimen = knife("standoffs")
    head, first, second = hole_rows(specimen)
    assert head[2:] == ["from the inside, liners off", "from the outside, before contouring"]
    assert (first[0], second[0]) == ("F1", "F2")
    for row, stack in zip((first, second), stacks(specimen), strict=True):
        numbers = stack.numbers
        assert f"{show_length(numbers['pocket_depth'].nominal)} deep" in row[2]
        assert row[2].startswith("pocket dia. 6.53 mm")
        assert f"countersink 82 deg to {show_length(numbers['countersink_depth'].nominal)}" in row[3]
        assert f"straight {show_length(numbers['seat_depth'].nominal)}" in row[3]
    bolt = hole_rows(knife("bolts"))[1]
    assert bolt[2] == "-"
    assert re.fullmatch(r"counterbore dia\. 9\.525 mm \(3/8 in\), [\d.]+ mm \([\d./-]+ in\) deep", bolt[3])


def test_liner() -> None:
    specimen = knife("standoffs")
    assert specimen.scales is not None
    liner = liner_piece(specimen, specimen.scales)
    (cut,) = paths(liner, "CUT")
    assert cut.curve == cut_out(specimen, specimen.scales)
    drilled = {
        (stack.layers.fastener.x, stack.layers.fastener.y, stack.layers.bores[1].diameter / 2)
        for stack in stacks(specimen)
    }
    assert {(c.x, c.y, c.radius) for c in circles(liner, "DRILL")} == drilled
    assert not circles(liner, "MARK")
    assert "LINER, cut two together" in texts(liner.items)


# Gauges ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["standoffs", "bird's head", "bolts", "leaning bow"])
def test_a_card_goes_over_the_section_with_its_play(name: str) -> None:
    for section in handle_sections(knife(name)):
        outline = gauge_outline(section)
        card = Polygon(flatten(outline, 0.001))
        width, top = card_size(section)
        assert card.is_valid
        assert card.bounds == pytest.approx((0.0, 0.0, width, top), abs=1e-6)
        way, z = section.half.T
        x, y = EAR + TOLERANCE + way, top - z
        handle = Polygon([(x[0], top), *zip(x.tolist(), y.tolist(), strict=True), (x[-1], top)])
        # The finished half stands in the notch with the play all round, and nowhere more.
        assert handle.distance(card) == pytest.approx(TOLERANCE, abs=2e-3)
        face = shapely.distance(shapely.points(np.stack([x, y], axis=1)), card)
        assert face == pytest.approx(np.full(len(x), TOLERANCE), abs=2e-3)
        # Half a millimetre too much on the scale holds it off.
        thick = Polygon([(x[0], top), *zip(x.tolist(), (y - 0.5).tolist(), strict=True), (x[-1], top)])
        assert thick.intersection(card).area > 1.0
        # Ears reach the middle of the tang.
        assert shapely.get_coordinates(card.intersection(shapely.box(0, top - 1e-6, width, top)))[:, 1].max() == top


# Pages ----------------------------------------------------------------------------------------------------------------


@every_design
def test_nothing_on_a_page_overlaps_or_is_cut_off(name: str) -> None:
    for sheet in pages(name):
        x0, y0, x1, y1 = sheet.drawing.bounds
        assert min(x0, y0) >= MARGIN - 1e-6
        assert x1 <= sheet.width - MARGIN + 1e-6
        assert y1 <= sheet.height - MARGIN + 1e-6
        labels = [item for item in sheet.drawing.items if isinstance(item, Label)]
        boxes = [Polygon(label.corners) for label in labels]
        tree = shapely.STRtree(boxes)
        pairs = tree.query(boxes, predicate="intersects").T
        steel = set(texts(template_drawing(knife(name)).items))
        assert not [(labels[i].text, labels[j].text) for i, j in pairs if i < j and labels[i].text not in steel]
        for item in sheet.drawing.items:
            # Bars and tables have their text at their lines.
            if isinstance(item, Path) and item.layer in ("CUT", "MARK"):
                hit = tree.query(ink(item), predicate="intersects")
                assert not len(hit), [labels[i].text for i in hit]


@every_design
def test_pages_are_few_and_those_of_true_size_have_their_bars(name: str) -> None:
    sheets = pages(name)
    assert 2 <= len(sheets) <= 4
    for sheet in sheets:
        text, cut = texts(sheet.drawing.items), bool(paths(sheet.drawing, "CUT"))
        assert cut or sheet.height > sheet.width
        assert text.count("100 mm") == text.count("4 in") == 2 * cut
        joined = " ".join(text)
        assert f"{knife(name).name}, revision {knife(name).revision}" in joined
        assert ("100 % (actual size)" in joined) is cut


@pytest.mark.long
def test_pages_on_letter() -> None:
    for name in ("standoffs", "bird's head"):
        for sheet in all_pages(Design(knife(name)), LETTER):
            assert sorted((sheet.width, sheet.height)) == pytest.approx([215.9, 279.4])


def test_what_the_pages_tell() -> None:
    specimen = dataclasses.replace(knife("standoffs"), hand_breadth=88.0)
    text = " ".join(text for sheet in all_pages(Design(specimen), A4) for text in texts(sheet.drawing.items))
    for blank in blanks(specimen):
        assert blank.words in text
    for section in handle_sections(specimen):
        for value in (section.height, section.width, section.diameter):
            assert alone(caliper_length(value)).text in text
        assert alone(rule_length(section.girth)).text in text
        assert section.what in text
        assert f"x {rule_length(section.x).first}" in text
    for wanted in (
        "RIGHT SCALE",
        "LEFT SCALE",
        "LINER",
        "glue",
        "OUTSIDE",
        "match-drill from the finished tang",
        "US Army",
    ):
        assert wanted.lower() in text.lower()


def test_true_size_on_paper() -> None:
    specimen = knife("standoffs")
    assert specimen.scales is not None
    x0, y0, x1, y1 = Polygon(flatten(cut_out(specimen, specimen.scales), 0.001)).bounds
    drawn = [item for sheet in pages("standoffs")[:-1] for item in sheet.drawing.items if isinstance(item, Path)]
    cuts = [path for path in drawn if path.layer == "CUT" and path.pen == SAW_PEN]
    assert len(cuts) == 3
    for path in cuts:
        a0, b0, a1, b1 = Polygon(flatten(path.curve, 0.001)).bounds
        assert (a1 - a0, b1 - b0) == pytest.approx((x1 - x0, y1 - y0), abs=1e-6)


def test_remarks_stand_on_every_page() -> None:
    remark = "An error was overridden: " + "rim F1; " * 30
    for sheet in all_pages(Design(knife("standoffs")), A4, (remark,)):
        text = " ".join(texts(sheet.drawing.items))
        assert "An error was overridden" in text
        assert text.count("rim F1;") == 30


def test_no_scales_no_pages() -> None:
    assert handle_pages(Design(ground(bar_outline())), A4) == ()


def test_same_pages_again() -> None:
    assert all_pages(Design(DESIGNS["bird's head"]()), A4) == all_pages(Design(DESIGNS["bird's head"]()), A4)


def test_text_is_large_enough_to_read() -> None:
    for name in DESIGNS:
        for sheet in pages(name):
            assert min(item.height for item in sheet.drawing.items if isinstance(item, Label)) >= 0.6 * SMALL_TEXT
            if sheet.height < sheet.width:
                continue
            # Nothing is below 9 pt besides what is cut out and the bars; a label is 0.9 as high as its size.
            cards = shapely.union_all([Polygon(flatten(path.curve, 1e-3)) for path in paths(sheet.drawing, "CUT")])
            on_bars = {item for bar in bars(sheet.width, sheet.height, "right") for item in bar.items}
            for label in (item for item in sheet.drawing.items if isinstance(item, Label)):
                if label.height / 0.9 < 9.0 * 25.4 / 72:
                    assert label in on_bars or cards.contains(Polygon(label.corners)), label.text


def test_sizes_of_the_finished_handle_are_those_of_its_sections() -> None:
    sections = handle_sections(knife("standoffs"))
    for narrow in (False, True):
        rows = {row.head.first: row for row in size_rows(sections, narrow=narrow)}
        for i, section in enumerate(sections):
            (place,) = rows["place"].cells[i]
            assert f"{place.shown.first} {place.shown.second}".strip() == section.what
            for head, tool, value in (
                ("x", rule_length, section.x),
                ("height", caliper_length, section.height),
                ("width", caliper_length, section.width),
                ("girth", rule_length, section.girth),
                ("diameter, if round", caliper_length, section.diameter),
            ):
                (told,) = rows[head].cells[i]
                assert told.shown.first == alone(tool(value)).text


def test_what_is_said_of_one_number_is_said_in_one_line() -> None:
    specimen = dataclasses.replace(knife("standoffs"), hand_breadth=88.0)
    said = tuple(hand_words(specimen))
    lines = list(gathered(said))
    heads = [line.partition(": ")[0] for line in lines]
    assert len(heads) == len(set(heads)) < len(said)
    for line in said:
        head, _, rest = line.partition(": ")
        assert head in heads
        assert any(rest.removesuffix(".") in whole for whole in lines)


def test_gauges_tell_what_scissors_are_good_for() -> None:
    text = " ".join(t for sheet in pages("standoffs") for t in texts(sheet.drawing.items))
    assert "Scissors cut to about 0.30 mm (0.012 in): a card finds a step of 0.50 mm (0.020 in), not one of" in text


def test_the_saw_line_outweighs_the_line_of_the_flat() -> None:
    assert SAW_PEN.width > 1.5 * max(FLAT_PEN.width, SCRIBE_PEN.width)
    assert FLAT_PEN.dashes
    assert FLAT_PEN.grey > 0


def test_the_line_of_the_flat_keeps_off_holes_and_out_of_narrow_places() -> None:
    # 25 mm of handle less 10 mm on both sides leave 5 mm of flat; less 11.5 mm, only 2 mm.
    for width, drawn in ((10.0, True), (11.5, False)):
        scaled = scales(rounding=Rounding(width=width, depth=2.0))
        specimen = pins(ground(bar_outline(height=25.0), scales=scaled), -30.0, -60.0)
        right = scale_piece(specimen, scaled, "right", ())
        flat = [path for path in paths(right, "MARK") if path.pen == FLAT_PEN]
        assert bool(flat) == drawn
        for path in flat:
            run = LineString(flatten(path.curve, 0.02))
            assert run.length >= 8.0
            assert all(run.distance(Point(f.x, f.y)) > inch("3/16") / 2 + 1.0 for f in specimen.fasteners)


@every_design
def test_the_grain_runs_as_the_blank_lies(name: str) -> None:
    specimen = knife(name)
    for side, hand in (("right", 1.0), ("left", -1.0)):
        items = piece(name, "right" if side == "right" else "left").items
        (label,) = (i for i in items if isinstance(i, Label) and i.text == "grain")
        assert label.angle_deg == pytest.approx(hand * blanks(specimen)[0].grain_deg)
        arrow = next(i.curve for i in items if isinstance(i, Path) and (i.layer, i.pen) == ("NOTE", THIN_PEN))
        (x0, y0), (x1, y1) = arrow.start, arrow.end
        assert math.degrees(math.atan2(y1 - y0, x1 - x0)) == pytest.approx(label.angle_deg)


def test_holes_are_listed_in_the_order_in_which_they_are_counted() -> None:
    specimen = pins(ground(bar_outline(), scales=scales()), *(-6.0 - 8.0 * i for i in range(11)))
    assert [row[0] for row in hole_rows(specimen)[1:]] == [f"F{i}" for i in range(1, 12)]


@pytest.mark.parametrize("name", quick(DESIGNS, "long name"))
def test_nothing_overlaps_on_letter(name: str) -> None:
    for sheet in all_pages(Design(knife(name)), LETTER):
        boxes = [Polygon(item.corners) for item in sheet.drawing.items if isinstance(item, Label)]
        labels = [item for item in sheet.drawing.items if isinstance(item, Label)]
        steel = set(texts(template_drawing(knife(name)).items))
        pairs = shapely.STRtree(boxes).query(boxes, predicate="intersects").T
        assert all(i == j or labels[i].text in steel for i, j in pairs)


def test_what_to_buy_lists_the_hardware() -> None:
    text = " ".join(t for sheet in pages("standoffs") for t in texts(sheet.drawing.items))
    assert "Standoffs: 2 of 304" in text
    assert "Screws: 4 of 304" in text or text.count("Screws: 2 of 304") == 2
    assert f"at least {show_length(9.0)} thick" in text


def test_depths_under_glued_liners_count_from_their_face_on_every_page() -> None:
    knife = fastened.bar(fastened.at(-50.0, fastened.INCH_STANDOFF), scales=fastened.GLUED)
    head, row = hole_rows(knife)
    assert head[2] == "from the inside, from the glued liner's face"
    # Half of 12.7 mm and of 0.5 mm play, less half of a tang of 4 mm.
    assert show_length(4.6) in row[2]
    (stack,) = stacks(knife)
    assert stack.numbers["pocket_stop"].nominal == pytest.approx(4.6)
    assert stack.numbers["pocket_depth"].nominal == pytest.approx(4.6 - 1.3)
    assert "liners off" in hole_rows(dataclasses.replace(knife, scales=fastened.LINED))[0][2]

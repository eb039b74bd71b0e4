"""The lines of an order beside a cut file: told from the file, and the same numbers as in the quote."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, reject
from hypothesis import strategies as st
from test_cut_file import ALL, FEW_DESIGNS, designs, holed, shift, written

from bladegeom.book.pass_pages import pass_pages
from bladegeom.curves.curve import Curve
from bladegeom.curves.flatten import flatten
from bladegeom.cutfile.cut import cut_parts
from bladegeom.cutfile.cut_words import hole_choices
from bladegeom.cutfile.dxf import dxf_of_drawing
from bladegeom.cutfile.preflight import preflight_plan
from bladegeom.cutfile.tab_places import tab_places
from bladegeom.cutfile.verify_cut_file import Meant, verify_cut_file
from bladegeom.drawing.drawing import Label
from bladegeom.holes.cut_holes import cut_holes
from bladegeom.importers.cut_lines import read_cut_plan
from bladegeom.knife.cutting import Cutting
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Liner, Scales
from bladegeom.price.bill import Bill
from bladegeom.quantities.errors import BladegeomError
from bladegeom.quantities.papers import paper
from bladegeom.quantities.units import length, show_length
from bladegeom.sheets.shop_order import order_rows


def pass_words(knife: Knife, part: str = "steel") -> dict[str, str]:
    """The lines of an order on a part's pass sheet, by their names, those without a name joined to the one above."""
    (meant,) = (cut_part for cut_part in cut_parts(knife) if cut_part.part == part)
    data, _ = dxf_of_drawing(meant.drawing, off=meant.off)
    plan = read_cut_plan(data, "ours.dxf")
    looked = verify_cut_file(plan, knife.shop.process, meant.thickness, Meant(knife=knife, part=meant))
    rows: dict[str, str] = {}
    last = ""
    for name, value in order_rows(looked.found, looked.off, knife, meant):
        last = name or last
        rows[last] = f"{rows[last]}; {value}" if last in rows else value
    return rows


def test_the_pass_sheet_says_what_stands_in_the_file() -> None:
    plain = pass_words(holed())
    assert plain["size in the file"].startswith("nominal size; no kerf")
    assert plain["tabs"].startswith("none in the file")
    told = pass_words(holed(ALL))
    assert "outline 0.40 mm (0.016 in) outside nominal" in told["size in the file"]
    assert "as pilot holes" in told["size in the file"]
    assert told["tabs"].startswith("3 in the file")
    assert told["tabs"].count("x ") == 3
    outline = holed(ALL).outline
    for x, y in tab_places(holed(ALL)):
        # Ours stand on spine or tang; the file's own places are told, to whole millimetres.
        gx = x - shift(holed(ALL))[0]
        assert re.search(rf"x {gx:.0f}|x {gx + 1:.0f}|x {gx - 1:.0f}", told["tabs"])
        curve = min((outline.spine, outline.handle_top, outline.handle_underside), key=lambda c: away(c, x, y))
        assert away(curve, x, y) < 0.1
    assert "left for the drill" not in told["size in the file"] or cut_parts(holed(ALL))[0].left


def away(curve: Curve, x: float, y: float) -> float:
    return float(shapely.LineString(flatten(curve, 0.001)).distance(shapely.Point(x, y)))


def test_the_pass_sheet_of_a_liner_knows_what_it_is_cut_from() -> None:
    liners = (Liner(sheet="NEMA G-10", thickness=0.8), Liner(sheet="304", thickness=0.5))
    scales = Scales(slab="NEMA L", thickness=8.0, liners=liners)
    rows = pass_words(holed(Cutting(allowance=0.3), scales=scales), "liner")
    assert rows["material"] == "G-10; 304"
    assert [length(figure) for figure in re.findall(r"([\d.]+) mm", rows["thickness"])] == [0.8, 0.5]
    assert rows["for one knife"] == "2 of each"
    assert rows["size in the file"].startswith("nominal size")


@FEW_DESIGNS
@given(st.data())
def test_quote_and_pass_sheet_count_pierces_and_length_alike(data: st.DataObject) -> None:
    try:
        knife = data.draw(designs())
    except BladegeomError:
        reject()
    part = cut_parts(knife)[0]
    (steel,) = written(knife)
    found = preflight_plan(read_cut_plan(steel.data, steel.name), knife.shop.process, part.thickness)
    # Counted on the file by another library: everything on layer CUT is one start of the jet.
    assert (
        found.pierces
        == Bill(knife).pierces
        == len(steel.cut(closed=True)) + len(steel.cut(closed=False)) + len(steel.circles)
    )
    by_chords = sum(np.hypot(*np.diff(xy, axis=0).T).sum() for layer, _, xy in steel.lines if layer == "CUT")
    by_chords += sum(2 * math.pi * r for layer, _, _, r in steel.circles if layer == "CUT")
    assert Bill(knife).cut_path == pytest.approx(by_chords, rel=1e-3)
    assert found.perimeter == pytest.approx(Bill(knife).cut_path, rel=1e-4)


def test_sheets_of_liners_answer_count_material_and_thickness_in_one_order() -> None:
    """Two alike are one sheet of which twice as many are cut; nothing of a blade is said of a liner."""
    sheets = (("G-10", 0.8), ("NEMA L", 0.5), ("G-10", 0.4), ("G-10", 0.8))
    liners = tuple(Liner(sheet=name, thickness=thickness) for name, thickness in sheets)
    rows = pass_words(replace(holed(), scales=Scales(slab="NEMA L", thickness=9.0, liners=liners)), "liner")
    told = [rows[name].split("; ") for name in ("for one knife", "material", "thickness")]
    assert [len(answers) for answers in told] == [3, 3, 3]
    each = {(name, length(thick.split(" (")[0])): int(count) for count, name, thick in zip(*told, strict=True)}
    assert each == {("G-10", 0.8): 4, ("NEMA L", 0.5): 2, ("G-10", 0.4): 2}
    assert not re.search(r"\b(edge|tip|spine)\b", f"{rows['tabs']} {rows['lead-ins']}")


def test_holes_of_one_size_share_its_words() -> None:
    """A tang of 30 holes would fill the sheet, and refuse A4, with the same number 30 times."""
    holes = [hole for hole in cut_holes(holed(ALL)) if hole.way == "pilot"]
    assert len(holes) > 1
    (words,) = [line for line in hole_choices(holed(ALL), cut_parts(holed(ALL))[0]) if "pilot" in line]
    sizes = {show_length(hole.diameter) for hole in holes}
    assert all(words.count(size) == 1 for size in sizes)
    assert all(re.search(rf"\b{hole.name}\b", words) for hole in holes)


def test_marks_that_were_asked_for_are_no_warning() -> None:
    """The order says of them that they are marked only; lines that nobody asked for are told as before."""
    asked = holed(Cutting(marks=True))
    (part,) = cut_parts(asked)
    plan = read_cut_plan(dxf_of_drawing(part.drawing)[0], "ours.dxf")
    for knife, severity in ((asked, "note"), (holed(), "warning")):
        meant = Meant(knife=knife, part=cut_parts(knife)[0])
        found = verify_cut_file(plan, knife.shop.process, part.thickness, meant).found.findings
        assert {finding.severity for finding in found if finding.code == "marks"} == {severity}


def test_a_pass_sheet_tells_its_warnings() -> None:
    """ "1 warning" alone leaves the shop to guess."""
    (part,) = cut_parts(holed(Cutting(marks=True)))
    plan = read_cut_plan(dxf_of_drawing(part.drawing)[0], "theirs.dxf")
    looked = verify_cut_file(plan, holed().shop.process, part.thickness)
    (sheet,) = pass_pages(looked.found, paper("A4"), title="theirs", order=(), off=None)
    words = " ".join(item.text for item in sheet.drawing.items if isinstance(item, Label))
    assert "0 errors, 1 warning" in words
    assert "[marks]" in words


def test_what_is_too_long_for_one_page_goes_on_to_the_next() -> None:
    (part,) = cut_parts(holed())
    looked = verify_cut_file(read_cut_plan(dxf_of_drawing(part.drawing)[0], "ours.dxf"), holed().shop.process, 4.0)
    holes = ", ".join(f"L{n} 2.25 mm" for n in range(1, 75))
    order = (("size in the file", "nominal"), ("", holes), *((f"line {n}", "") for n in range(17)))
    sheets = pass_pages(looked.found, paper("A4"), title="ours", order=order, off=None)
    assert len(sheets) == 2
    words = " ".join(item.text for sheet in sheets for item in sheet.drawing.items if isinstance(item, Label))
    assert all(f"ours, page {page} of 2" in words for page in (1, 2))
    assert all(f"line {n}" in words for n in range(17))
    assert all(f"L{n} 2.25" in words for n in range(1, 75))


@pytest.mark.parametrize("differs", ["missing", "extra"])
def test_a_file_with_a_hole_more_or_less_is_not_ordered_as_designed(differs: str) -> None:
    knife = holed(Cutting())
    (meant,) = (part for part in cut_parts(knife) if part.part == "steel")
    data, _ = dxf_of_drawing(meant.drawing, off=meant.off)
    looked = verify_cut_file(
        read_cut_plan(data, "ours.dxf"), knife.shop.process, meant.thickness, Meant(knife=knife, part=meant)
    )
    assert looked.off is not None
    as_designed = dict(order_rows(looked.found, looked.off, knife, meant))
    hole = ((60.0, 12.0),)
    off = replace(looked.off, missing=hole) if differs == "missing" else replace(looked.off, extra=hole)
    other = dict(order_rows(looked.found, off, knife, meant))
    assert as_designed["size in the file"].startswith("nominal size")
    assert other["size in the file"].startswith("not as designed")

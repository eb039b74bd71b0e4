"""The lines of an order beside a cut file: told from the file, and the same numbers as in the quote."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
import shapely
from hypothesis import given, reject, settings
from hypothesis import strategies as st
from test_cut_file import ALL, EXAMPLES, designs, holed, shift, written

from bladegeom.body.cutting import Cutting
from bladegeom.body.knife import Knife
from bladegeom.body.scales import Liner, Scales
from bladegeom.cli.look_again import Meant, look_again
from bladegeom.curves.curve import Curve
from bladegeom.curves.flatten import flatten
from bladegeom.draw.cut import cut_parts
from bladegeom.draw.shop_order import order_rows
from bladegeom.export.dxf import dxf_of_drawing
from bladegeom.job.bill import Bill
from bladegeom.quantities.errors import BladegeomError
from bladegeom.quantities.units import length
from bladegeom.read.cut_lines import read_cut_plan
from bladegeom.reason.preflight import preflight
from bladegeom.reason.tab_places import tab_places


def pass_words(knife: Knife, part: str = "steel") -> dict[str, str]:
    """The lines of an order on a part's pass sheet, by their names, those without a name joined to the one above."""
    (meant,) = (one for one in cut_parts(knife) if one.part == part)
    data, _ = dxf_of_drawing(meant.drawing, off=meant.off)
    plan = read_cut_plan(data, "ours.dxf")
    looked = look_again(plan, knife.shop.process, meant.thickness, Meant(knife=knife, part=meant))
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
    assert [length(one) for one in re.findall(r"([\d.]+) mm", rows["thickness"])] == [0.8, 0.5]
    assert rows["for one knife"] == "2 of each"
    assert rows["size in the file"].startswith("nominal size")


@settings(max_examples=EXAMPLES)
@given(st.data())
def test_quote_and_pass_sheet_count_pierces_and_length_alike(data: st.DataObject) -> None:
    try:
        knife = data.draw(designs())
    except BladegeomError:
        reject()
    part = cut_parts(knife)[0]
    (steel,) = written(knife)
    found = preflight(read_cut_plan(steel.data, steel.name), knife.shop.process, part.thickness)
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

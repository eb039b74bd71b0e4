"""A blade that stays thick up to its tip: where it is told, the number, and a way out that holds."""

from __future__ import annotations

import dataclasses
import math
import re
from typing import Any

import any_knives
import numpy as np
import pytest
import shapely
from draws import draws
from hypothesis import given, reject
from hypothesis import strategies as st
from specimens import bar_outline, ground

from bladegeom import FullFlat
from bladegeom.checks.tip import BEHIND_TIP, check_tip
from bladegeom.curves.build import line
from bladegeom.grinding.thickness import thickness
from bladegeom.knife.knife import Knife
from bladegeom.knife.stock import Stock
from bladegeom.outline.outline import Outline, join_halves
from bladegeom.profiles import get
from bladegeom.quantities.errors import BladegeomError
from bladegeom.quantities.tolerances import SHOP


def wedge(rise: float = 30.0) -> Outline:
    """A blade of straight lines, its spine level and its edge rising to the tip by some mm over 100 mm."""
    heel, tip = (0.0, -rise), (100.0, 0.0)
    return Outline(
        edge=line(heel, tip),
        spine=line(tip, (0.0, 0.0)),
        handle_top=line((0.0, 0.0), (-100.0, 0.0)),
        butt=line((-100.0, 0.0), (-100.0, -rise)),
        handle_underside=line((-100.0, -rise), (-1.0, -rise)),
        choil=line((-1.0, -rise), heel),
    )


def full_flat(outline: Outline, *, stock: float = 3.0, sharpen_deg: float = 18.0, **more: Any) -> Knife:
    knife = ground(outline, thickness=stock, plunge=1.0)
    grind = dataclasses.replace(knife.grind, bevel=FullFlat(edge_thickness=0.3), sharpen_deg=sharpen_deg, **more)
    return dataclasses.replace(knife, grind=grind)


def test_a_full_flat_without_taper_keeps_its_stock_to_the_tip() -> None:
    (finding,) = check_tip(full_flat(wedge()))
    assert (finding.code, finding.severity, finding.x) == ("tip-thick", "warning", 95.0)
    # Source: closed form: square to the edge the spine lies 5 mm sin a from it, tan a = 0.3, and a facet each side.
    from_edge = BEHIND_TIP * math.sin(math.atan(0.3))
    assert finding.measured == pytest.approx(3.0)
    assert finding.limit == pytest.approx(2 * from_edge * math.tan(math.radians(18.0)), abs=1e-5)


def test_ground_on_one_side_it_is_sharpened_on_one() -> None:
    (finding,) = check_tip(full_flat(wedge(), only="right"))
    from_edge = BEHIND_TIP * math.sin(math.atan(0.3))
    assert finding.limit == pytest.approx(from_edge * math.tan(math.radians(18.0)), abs=1e-5)


@pytest.mark.parametrize(
    "knife",
    [
        full_flat(bar_outline()),
        full_flat(wedge(), stock=0.9),
        ground(wedge(), thickness=5.0, height=16.0),
        full_flat(join_halves(get("cleaver")(), get("straight")()), stock=5.0),
        full_flat(join_halves(get("sheepsfoot")(), get("straight")())),
    ],
    ids=["a bar", "thin stock", "a bevel of constant height", "a cleaver's front", "a sheep's foot"],
)
def test_clean(knife: Knife) -> None:
    assert list(check_tip(knife)) == []


@draws(30, long=500)
@given(st.data())
def test_it_is_told_where_the_facet_reaches_the_spine_and_what_it_names_ends_it(data: st.DataObject) -> None:
    """Against the law of the sharpened side, which knows no such rule: there it takes something off the spine."""
    try:
        knife = data.draw(any_knives.knives())
        found = list(check_tip(knife))
    except BladegeomError:
        reject()
    x = knife.outline.tip[0] - BEHIND_TIP
    upright = shapely.LineString([(x, -500.0), (x, 500.0)])
    at = np.array([x]), np.array([knife.outline.polygon.intersection(upright).bounds[3] - 1e-6])
    before, after = (float(thickness(knife, stage, *at)[0]) for stage in ("finished", "sharp"))
    assert bool(found) == (before - after > SHOP)
    for finding in found:
        (degrees,) = re.findall(r"sharpen it at (\d+) degrees or more", finding.message)
        blunter = dataclasses.replace(knife.grind, sharpen_deg=float(degrees))
        assert not list(check_tip(dataclasses.replace(knife, grind=blunter)))
        if named := re.search(r"at x (-?[\d.]+) mm to ([\d.]+) mm .* at the tip, x ([\d.]+) mm", finding.message):
            back, tip, x1 = float(named[1]), float(named[2]), float(named[3])
            bar = 2 * float(knife.stock.half_thickness(np.array([back]))[0])
            kept = tuple(station for station in knife.stock.taper if station[0] < back)
            stock = Stock(
                steel=knife.stock.steel, thickness=knife.stock.thickness, taper=(*kept, (back, bar), (x1, tip))
            )
            assert not list(check_tip(dataclasses.replace(knife, stock=stock)))

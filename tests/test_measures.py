"""Measures by name, against the report's numbers and against a ruler laid on the outline."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from orders import changed, knife

from bladegeom import AngledBevel, Grind, Plunge, Scales, Tube, inch, measure, measures, weigh
from bladegeom.body.fastener import Fastener
from bladegeom.curves.flatten import flatten
from bladegeom.export.report import report
from bladegeom.quantities.errors import UnknownNameError


@cache
def reported() -> dict[str, float]:
    content = report(knife(), weigh(knife()), (), parameters={})
    return {
        "overall length": content["outline"]["length"],
        "blade length": content["outline"]["blade_length"],
        "blade height": content["outline"]["blade_height"],
        "thickness": content["stock"]["thickness"],
        "edge thickness": content["grind"]["edge_thickness"],
        "bevel height": content["grind"]["height"],
        "bevel angle": content["grind"]["angle_per_side"],
        "mass": content["total"]["mass"],
        "balance": content["total"]["balance_from_handle_front"],
    }


@pytest.mark.parametrize("name", sorted(reported()))
def test_as_the_report_tells_it(name: str) -> None:
    assert measure(name).of(knife()) == pytest.approx(reported()[name], rel=1e-9)


def test_the_conventions_of_a_blade_length() -> None:
    slanted = changed(
        front_lean_deg=-10.0,
        grind=Grind(bevel=AngledBevel(angle_deg=5.0, edge_thickness=0.4), plunge=Plunge(x=20.0, lean_deg=8.0)),
    )
    tip = slanted.outline.tip[0]
    edge = flatten(slanted.outline.edge, 0.0005)
    assert measure("blade length").of(slanted) == pytest.approx(tip)
    # The front leans forward at its lower end, the plunge line at its upper one.
    assert measure("blade length to handle").of(slanted) == pytest.approx(tip - slanted.handle_front.end[0], abs=0.01)
    assert measure("blade length to plunge").of(slanted) == pytest.approx(tip - slanted.plunge_line.end[0])
    assert measure("edge length").of(slanted) == pytest.approx(np.hypot(*np.diff(edge, axis=0).T).sum(), abs=0.05)


def test_what_a_design_does_not_have() -> None:
    bare = changed(scales=None, fasteners=(), holes=())
    for name in ("scale thickness", "slab thickness", "handle girth", "handle thickness", "lanyard bore", "rough edge"):
        assert measure(name).of(bare) is None


def test_the_narrowest_way_for_a_cord() -> None:
    assert measure("lanyard bore").of(knife()) == pytest.approx(8.5)
    tube = Tube(metal="C26000", outside=inch("1/4"), inside=4.8)
    more = changed(fasteners=(*knife().fasteners, Fastener(x=-100.0, y=-15.0, hardware=tube)))
    assert measure("lanyard bore").of(more) == pytest.approx(4.8)


def test_thicker_scales_are_told_by_every_measure_of_the_handle() -> None:
    thick = changed(scales=Scales(slab="NEMA L", thickness=10.0, sanding=1.0))
    assert measure("scale thickness").of(thick) == 10.0
    assert measure("slab thickness").of(thick) == 11.0
    assert measure("handle thickness").of(thick) == pytest.approx(3.5 + 20.0)


def test_names() -> None:
    assert measure("  Blade   Length ") is measures()["blade length"]
    assert measures()["hardness"].operation == "heat_treat"
    with pytest.raises(UnknownNameError, match="did you mean 'mass'"):
        measure("mas")

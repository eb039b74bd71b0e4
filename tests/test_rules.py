"""Rules and shop values: defaults with their sources, named sets that replace them, values refused."""

from __future__ import annotations

import dataclasses
import math
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_refused, assert_tells, unknown

from bladegeom.fasteners.pin import Pin
from bladegeom.knife.fastener import Fastener
from bladegeom.knife.handle_rules import HandleRules, Tolerances
from bladegeom.knife.rules import HoleRules, Process, Shop
from bladegeom.knife.scales import Liner, Rounding, Scales
from bladegeom.knife.stock import Stock
from bladegeom.quantities.drills import drill, drill_index
from bladegeom.quantities.errors import BladegeomError, ParameterError, UnknownNameError
from bladegeom.quantities.materials import material


@pytest.mark.parametrize("name", ["rim", "web", "clear_strip", "per_thickness", "edge_distance_per_diameter"])
def test_a_distance_beyond_all_reason_is_refused_where_it_is_declared(name: str) -> None:
    """Where it was used, it was an error of a library."""
    limits: dict[str, Any] = {name: 1e308}
    with pytest.raises(ParameterError) as caught:
        HoleRules(**limits)
    assert_refused(caught.value, f"hole rules: {name}")


def test_default_limits_and_where_they_come_from() -> None:
    rules = HoleRules()
    assert (rules.edge_distance_per_diameter, rules.rim, rules.web, rules.clear_strip) == (1.2, 3.0, 3.0, 10.0)
    assert rules.source("edge_distance_per_diameter").startswith("EN 1993-1-8:2005 Table 3.3")
    for name in ("rim", "web", "per_thickness", "clear_strip"):
        assert rules.source(name) == "common practice, no source"


def test_edge_distance_of_the_standard() -> None:
    # Source: EN 1993-1-8 Table 3.3, e1 >= 1.2 d0: an M4 screw in a 4.5 mm hole needs 5.4 mm to the edge.
    assert HoleRules().edge_distance(4.5) == pytest.approx(5.4)
    assert HoleRules(edge_table="EN 1993-1-8").edge_distance(4.5) == pytest.approx(5.4)
    assert HoleRules().edge_source(4.5) == HoleRules().source("edge_distance_per_diameter")


def test_a_published_table_in_place_of_the_factor() -> None:
    # Source: ANSI/AISC 360-16 Table J3.4, a 1/2 in bolt 3/4 in from the edge.
    rules = HoleRules(edge_table="AISC J3.4", edge_distance_per_diameter=9.0)
    assert rules.edge_distance(12.7) == 19.05
    assert "extrapolated" not in rules.edge_source(12.7)
    assert "extrapolated" in rules.edge_source(12.6)
    with pytest.raises(UnknownNameError, match=re.escape(unknown("table of edge distances", "AISC", "AISC J3.4"))):
        HoleRules(edge_table="AISC")


@pytest.mark.parametrize("name", ["net_width", "weak_section"])
def test_shares_lie_between_nothing_and_all(name: str) -> None:
    limits: dict[str, Any] = {name: 1.5}
    with pytest.raises(ParameterError, match=f"hole rules: {name}"):
        HoleRules(**limits)
    assert HoleRules().source("net_width").startswith("common practice, no source: 50 to 60 %")
    assert HoleRules().source("weak_section").startswith("own choice")


def test_a_shop_s_own_set_is_quoted_where_it_differs() -> None:
    rules = HoleRules(name="our water-jet shop", rim=4.0)
    assert rules.source("rim") == "set by the shop: our water-jet shop"
    assert rules.source("web") == "common practice, no source"
    process = Process(name="laser", inside_radius=0.2)
    assert process.source("inside_radius") == "set by the shop: laser"
    assert process.source("smallest_hole").startswith("a cutting service's guideline")


@given(st.floats(0.0, 20.0), st.floats(0.0, 20.0), st.floats(0.0, 3.0), st.floats(0.1, 12.0))
def test_the_larger_of_floor_and_thickness_counts(rim: float, web: float, per: float, thickness: float) -> None:
    rules = HoleRules(rim=rim, web=web, per_thickness=per)
    assert rules.least_rim(thickness) == max(rim, per * thickness)
    assert rules.least_web(thickness) == max(web, per * thickness)
    process = Process(smallest_hole=rim, smallest_hole_per_thickness=per)
    assert process.least_hole(thickness) == max(rim, per * thickness)


def test_smallest_hole_of_the_guideline() -> None:
    # Source: a cutting service's guideline, max(0.5 t, 0.07 in = 1.778 mm, here 1.8): 6 mm stock 3 mm, 2 mm stock 1.8.
    assert Process().least_hole(6.0) == 3.0
    assert Process().least_hole(2.0) == 1.8


NAMES = ("edge_distance_per_diameter", "rim", "web", "per_thickness", "clear_strip")


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("value", [-1.0, math.nan, math.inf])
def test_rules_refuse(name: str, value: Any) -> None:
    with pytest.raises(ParameterError) as caught:
        HoleRules(**{name: value})
    assert_refused(caught.value, f"hole rules: {name} | 0")


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda: Process(inside_radius=-0.1), "process: inside_radius | 0"),
        (lambda: Process(basis=1.5), 'process: basis | "laser"'),  # type: ignore[arg-type]
        (lambda: Process.named(None), "process"),  # type: ignore[arg-type]
        (lambda: Process(smallest_hole=math.nan), "process: smallest_hole | 0"),
        (lambda: Shop(contact_wheels=()), "shop: contact_wheels | one"),
        (lambda: Shop(drills=()), "shop: drills | one"),
        (lambda: Shop(contact_wheels=(25.4, 0.0)), "shop: number 2 of contact_wheels | 0"),
        (lambda: Shop(smallest_inside_radius=-1.0), "shop: smallest_inside_radius | 0"),
        (lambda: Stock(steel="1084", thickness=0.0), "stock: thickness | 0"),
        (lambda: Stock(steel="1084", thickness=-4.0), "stock: thickness | 0"),
        (lambda: Stock(steel="1084", thickness=math.nan), "stock: thickness | 0"),
        (lambda: Scales(slab="NEMA L", thickness=-7.0), "scales: thickness | 0"),
    ],
)
def test_one_message_for_each_wrong_value(make: Any, told: str) -> None:
    with pytest.raises(BladegeomError) as caught:
        make()
    assert_refused(caught.value, told)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Stock(steel="1048", thickness=4.0),
        lambda: Scales(slab="NEMA LL", thickness=7.0),
        lambda: Pin(rod="C3600", diameter=6.0),
        lambda: Liner(sheet="NEMA GG-10", thickness=0.8),
    ],
)
def test_unknown_material(make: Any) -> None:
    with pytest.raises(UnknownNameError) as caught:
        make()
    assert caught.value.kind == "material"
    assert caught.value.suggestions


def test_materials_by_name_or_the_shop_s_own() -> None:
    own = dataclasses.replace(material("1084"), name="own bar", density_g_cm3=7.84)
    assert Stock(steel=own, thickness=3.0).material is own
    assert Stock(steel="AISI 1084", thickness=3.0) == Stock(steel="1084", thickness=3.0)
    ((_, rod),) = Pin(rod="C26000", diameter=6.0).materials
    assert rod.density_g_cm3 == 8.53


@pytest.mark.parametrize(
    "value",
    [
        HoleRules(),
        Process(),
        Shop(),
        Stock(steel="1084", thickness=4.0),
        Scales(slab="NEMA L", thickness=7.0),
        Scales(
            slab="NEMA L",
            thickness=7.0,
            liners=(Liner(sheet="NEMA G-10", thickness=0.8),),
            swell=((-100.0, 6.0), (0.0, 6.5)),
            rounding=Rounding(width=2.0, depth=2.0),
        ),
        Liner(sheet="NEMA G-10", thickness=0.8),
        Rounding(width=10.0, depth=3.0),
        Pin(rod="C26000", diameter=6.0),
        Fastener(x=-30.0, y=-12.0, hardware=Pin(rod="C26000", diameter=6.0)),
        HandleRules(),
        Tolerances(),
    ],
)
def test_values_cannot_be_changed(value: Any) -> None:
    for f in dataclasses.fields(value):
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(value, f.name, 1.0)
    assert hash(value) == hash(dataclasses.replace(value))
    assert value == dataclasses.replace(value)


def test_a_shop_keeps_no_list() -> None:
    wheels: Any = [25.4]
    drills: Any = [drill("1/4")]
    shop = Shop(contact_wheels=wheels, drills=drills)
    wheels.append(1.0)
    assert shop.contact_wheels == (25.4,)
    assert shop.drills == (drill("1/4"),)
    sizes: Any = [drill("3/8")]
    lightening = Shop(lightening_sizes=sizes)
    sizes.clear()
    assert lightening.sizes_for_lightening == (drill("3/8"),)


def test_the_shop_s_drills_are_the_boxed_set() -> None:
    # Fractions from 1/16 to 1/2, numbers and letters; some sizes are in two of them.
    series = [drill_index(name) for name in ("fractional", "number", "letter")]
    assert set(Shop().drills) == {bit for index in series for bit in index}
    assert len(Shop().drills) == sum(len(index) for index in series)
    diameters = [bit.diameter for bit in Shop().drills]
    assert diameters == sorted(diameters)


def test_lightening_holes_are_made_with_fractions_unless_told_otherwise() -> None:
    assert Shop().sizes_for_lightening == drill_index("fractional")
    # A shop without any fractions uses what it has.
    assert Shop(drills=drill_index("metric")).sizes_for_lightening == drill_index("metric")
    own = (drill("10 mm"), drill("7 mm"))
    assert Shop(lightening_sizes=own).sizes_for_lightening == own
    with pytest.raises(ParameterError) as caught:
        Shop(lightening_sizes=("1/4",))  # type: ignore[arg-type]
    assert caught.value.field == "lightening_sizes"
    assert_tells(str(caught.value), "drill_index(")

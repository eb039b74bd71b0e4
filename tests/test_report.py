"""The report: every key of its contract, true numbers, JSON that any program reads, text that a maker reads."""

from __future__ import annotations

import dataclasses
import json
import math
from functools import cache
from typing import Any

import numpy as np
import pytest
import shapely
import specimens
from shapely import LineString, Point

from bladegeom.curves.curve import Curve, points
from bladegeom.design.design import Design
from bladegeom.design.report import REPORT_KEYS, report
from bladegeom.design.report_balance import sensitivity_report
from bladegeom.fasteners.standoff.kind import StandoffScrews
from bladegeom.findings.check import check
from bladegeom.knife.bevels.flat import AngledBevel, FlatBevel
from bladegeom.knife.bevels.round import HollowBevel
from bladegeom.knife.fastener import Fastener
from bladegeom.knife.hole import Hole, Slot
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Scales
from bladegeom.knife.stock import Stock
from bladegeom.knife.zone import MarkZone, TextureZone
from bladegeom.mass.weigh import weigh
from bladegeom.placing.place import add_fasteners, add_lightening_row
from bladegeom.quantities.balance_bands import from_front
from bladegeom.quantities.units import show_mass
from bladegeom.writers.report_json import as_json
from bladegeom.writers.report_text import as_text

CONTRACT = {
    "format": str,
    "version": int,
    "name": str,
    "parameters": dict,
    "outline": {"length", "blade_length", "blade_height", "area", "perimeter"},
    "stock": {"material", "metal", "density", "thickness"},
    "grind": {"kind", "height", "edge_thickness", "angle_per_side", "scribe_from_face"},
    "holes": [{"id", "part", "purpose", "x", "y", "diameter", "edge_distance", "rim", "web", "web_to"}],
    "stages": [{"name", "volume", "mass", "balance_x", "balance_y"}],
    "parts": [{"name", "material", "density", "volume", "mass", "x", "y", "z"}],
    "total": {"mass", "balance_x", "balance_y", "balance_from_handle_front", "inertia_about_balance"},
    "lightening": {"mass_removed", "balance_shift", "without"},
    "removed": [{"from", "to", "volume", "mass"}],
    "fasteners": [
        {"id", "kind", "screw_length", "engagement", "pocket_depth", "countersink_depth", "floor"}  # null for pins
    ],
    "findings": [{"code", "severity", "part", "message", "measured", "limit", "source", "x", "y"}],
    "geometry": {"outline", "edge", "spine", "grind_line", "plunge", "handle_front", "holes"},
}
"""Other programs read these: keys may be added, none renamed. Files are added by the export."""


@pytest.fixture(autouse=True)
def _levers_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """What moves the balance takes longer than the rest of a report, and is tested elsewhere: one knife's for all."""
    monkeypatch.setitem(REPORT_KEYS, "levers", lambda _: bar_levers())


@cache
def bar_levers() -> list[dict[str, Any]]:
    return sensitivity_report(Design(block()))


def full() -> Knife:
    knife = specimens.drop_point(scales=Scales(slab="NEMA L", thickness=7.0))
    knife = add_fasteners(knife, specimens.pins("1/4", rod="C26000"), count=2)
    return dataclasses.replace(add_lightening_row(knife), name="Rigging knife")


@cache
def block(*holes: Hole | Slot) -> Knife:
    """A bar of 300 x 30 x 4 mm of AISI 1084, the bevel on the front 200 mm 18 mm high."""
    return specimens.ground(specimens.bar_outline(), plunge=0.0, holes=holes)


def reported(knife: Knife, **more: Any) -> dict[str, Any]:
    geometry = more.pop("geometry", True)
    return report(Design(knife, **more), geometry=geometry)


@cache
def whole() -> dict[str, Any]:
    content = reported(full(), parameters={"blade_length": 110.0})
    return dict(json.loads(as_json(content)))


@pytest.mark.parametrize("key", list(CONTRACT))
def test_every_key_of_the_contract_is_filled(key: str) -> None:
    wanted, got = CONTRACT[key], whole()[key]
    if isinstance(wanted, type):
        assert isinstance(got, wanted)
    elif isinstance(wanted, set):
        assert wanted <= set(got)
    else:
        assert isinstance(wanted, list)
        assert len(got) > 0
        assert all(wanted[0] <= set(row) for row in got)


def test_format_version_and_stages_in_order() -> None:
    assert (whole()["format"], whole()["version"]) == ("bladegeom-report", 1)
    assert [stage["name"] for stage in whole()["stages"]] == ["blank", "rough", "finished", "sharp"]
    assert [(row["from"], row["to"]) for row in whole()["removed"]] == [
        ("bar", "plate"),
        ("plate", "blank"),
        ("blank", "rough"),
        ("rough", "finished"),
        ("finished", "sharp"),
    ]


def test_numbers_of_a_plain_bar() -> None:
    hole = Hole(x=-50.0, y=-15.0, diameter=10.0, purpose="lightening")
    other = Hole(x=-80.0, y=-15.0, diameter=8.0, purpose="fastener", made="drilled")
    got = reported(block(hole, other))
    # AISI 1084: 7.85 g/cm3 in the table of materials. Bar 300 x 30 x 4; hole pi 5^2 x 4.
    density = got["stock"]["density"] / 1000
    assert got["outline"] == pytest.approx(
        {"length": 300.0, "blade_length": 200.0, "blade_height": 30.0, "area": 9000.0, "perimeter": 660.0}
    )
    assert got["stock"]["thickness"] == 4.0
    assert got["grind"]["kind"] == "flat"
    # Half of 4 - 0.5 mm over a height of 18 mm.
    assert got["grind"]["angle_per_side"] == pytest.approx(math.degrees(math.atan(1.75 / 18)))
    assert got["grind"]["scribe_from_face"] == pytest.approx(1.75)
    blank, rough, finished, sharp = got["stages"]
    assert [stage["name"] for stage in got["stages"]] == ["blank", "rough", "finished", "sharp"]
    # No rough edge is declared: the blade goes to hardening unground.
    assert rough["volume"] == blank["volume"]
    # A facet of 18 degrees on a face of a = atan(1.75 / 18): e / (2 (tan 18 - tan a)) high, a triangle a side.
    facet = 0.25 / (math.tan(math.radians(18)) - 1.75 / 18)
    assert finished["volume"] - sharp["volume"] == pytest.approx(200 * facet * 0.25, rel=1e-4)
    hole_volume, other_volume = math.pi * 25 * 4, math.pi * 16 * 4
    assert blank["volume"] == pytest.approx(36000 - hole_volume - other_volume)
    assert blank["mass"] == pytest.approx(blank["volume"] * density)
    # Two wedges 200 long, 18 high, 1.75 thick at the edge: 200 * 18 * 1.75 = 6300 mm3 together.
    assert blank["volume"] - finished["volume"] == pytest.approx(6300, rel=1e-4)
    assert [(step["from"], step["to"]) for step in got["removed"]] == [
        ("bar", "plate"),
        ("plate", "blank"),
        ("blank", "rough"),
        ("rough", "finished"),
        ("finished", "sharp"),
    ]
    cut_out, drilled, _, ground, _ = got["removed"]
    shift = finished["balance_x"] - rough["balance_x"]
    assert ground["balance_shift"] == pytest.approx(shift)
    assert cut_out["volume"] == pytest.approx(0.0, abs=1e-6)
    assert drilled["volume"] == pytest.approx(hole_volume + other_volume)
    assert ground["mass"] == pytest.approx(6300 * density, rel=1e-4)
    light = got["lightening"]
    assert light["mass_removed"] == pytest.approx(hole_volume * density)
    assert light["without"]["mass"] == pytest.approx(got["total"]["mass"] + hole_volume * density)
    moment = got["total"]["mass"] * got["total"]["balance_x"] + hole_volume * density * -50.0
    assert light["without"]["balance_x"] == pytest.approx(moment / light["without"]["mass"])
    assert light["balance_shift"] == pytest.approx(got["total"]["balance_x"] - light["without"]["balance_x"])
    first, second = got["holes"]
    # 15 mm from either long side; 30 mm from each other less both radii.
    assert (first["id"], first["edge_distance"], first["rim"], first["web"], first["web_to"]) == (
        "L1",
        pytest.approx(15.0),
        pytest.approx(10.0),
        pytest.approx(21.0),
        "F1",
    )
    assert (second["purpose"], second["made"], second["x"], second["y"], second["diameter"]) == (
        "fastener",
        "drilled",
        -80.0,
        -15.0,
        8.0,
    )


def test_total_is_the_sum_of_the_parts() -> None:
    parts, total = whole()["parts"], whole()["total"]
    assert [part["name"] for part in parts] == ["blade", "right scale", "left scale", "pin"]
    mass = sum(part["mass"] for part in parts)
    assert total["mass"] == pytest.approx(mass)
    for axis in "xy":
        assert total[f"balance_{axis}"] == pytest.approx(sum(p["mass"] * p[axis] for p in parts) / mass)
    for part in parts:
        assert part["mass"] == pytest.approx(part["volume"] * part["density"] / 1000)
    assert parts[1]["z"] == pytest.approx(-parts[2]["z"])


def test_balance_is_told_from_the_handle_front_at_mid_height() -> None:
    leaning = specimens.ground(specimens.bar_outline(), plunge=10.0, front_lean_deg=30.0)
    got = reported(leaning)
    # The front falls from (0, 0) by 30 mm and leans 30 degrees to the butt: at mid height x = -15 tan 30.
    wanted = got["total"]["balance_x"] + 15 * math.tan(math.radians(30))
    assert got["total"]["balance_from_handle_front"] == pytest.approx(wanted)


def test_inertia_of_a_plain_bar() -> None:
    got = reported(specimens.ground(specimens.bar_outline(), plunge=199.0, height=1e-3))
    # m (l^2 + h^2) / 12 about the middle; hardly anything is ground off.
    assert got["total"]["inertia_about_balance"] == pytest.approx(
        got["total"]["mass"] * (300**2 + 30**2) / 12, rel=1e-6
    )


def test_slots_tell_both_ends() -> None:
    slot = Slot(start=(-40.0, -15.0), end=(-52.0, -15.0), diameter=6.0, purpose="lightening")
    (row,) = reported(block(slot))["holes"]
    assert (row["start"], row["end"], row["x"]) == ([-40.0, -15.0], [-52.0, -15.0], -46.0)
    assert (row["web"], row["web_to"]) == (None, None)


def test_fasteners() -> None:
    # Two scales of 7 mm on 4 mm of steel.
    assert [(f["id"], f["kind"], f["length"]) for f in whole()["fasteners"]] == [
        ("F1", "glued pin", pytest.approx(18.0)),
        ("F2", "glued pin", pytest.approx(18.0)),
    ]
    for row in whole()["fasteners"]:
        assert row["materials"] == {"pin": "C26000"}
        assert {("tang", 6.35), ("scale", 6.35)} <= {(bore["layer"], bore["diameter"]) for bore in row["bores"]}
        # What a pin has not is there, and empty.
        assert [row[name] for name in ("screw_length", "engagement", "pocket_depth", "countersink_depth", "floor")] == [
            None
        ] * 5
        for name, (low, high) in row["worst"].items():
            assert low < row[name] < high
    bare = reported(block(Hole(x=-50.0, y=-15.0, diameter=6.0, purpose="fastener")))["fasteners"]
    assert [(f["id"], f["kind"], f["diameter"], f["floor"]) for f in bare] == [("F1", "hole only", 6.0, None)]


def test_fasteners_with_screws() -> None:
    screws = StandoffScrews(thread="#6-32", diameter=6.35, length=12.7, screw_length=9.525)
    fastener = Fastener(x=-50.0, y=-15.0, hardware=screws)
    scales = Scales(slab="NEMA L", thickness=9.0)
    (row,) = reported(dataclasses.replace(block(), scales=scales, fasteners=(fastener,)))["fasteners"]
    assert (row["kind"], row["x"], row["y"]) == ("standoff and screws", -50.0, -15.0)
    assert row["screw_length"] == 9.525
    # Half the sleeve, half the play of 0.5 mm, less half of the steel.
    assert row["pocket_depth"] == pytest.approx(12.7 / 2 + 0.25 - 2.0)
    for name in ("engagement", "pocket_depth", "countersink_depth", "floor"):
        low, high = row["worst"][name]
        assert low < row[name] < high
    shapes = [(bore["layer"], bore["shape"], bore["from"]) for bore in row["bores"]]
    assert ("scale", "pocket", "inside") in shapes
    assert ("scale", "countersink", "outside") in shapes


def test_balance_has_three_numbers() -> None:
    assert whole()["total"]["balance_z"] == pytest.approx(0.0, abs=1e-9)
    one_sided = specimens.petty(scales=Scales(slab="NEMA L", thickness=7.0))
    one_sided = dataclasses.replace(one_sided, grind=dataclasses.replace(one_sided.grind, only="right"))
    content = reported(one_sided)
    # Ground on the right, the steel that is left lies to the left.
    assert content["total"]["balance_z"] == pytest.approx(weigh(one_sided).total.centre[2])
    assert content["total"]["balance_z"] < -0.01
    assert "off the middle plane to the left" in as_text(content)
    assert "off the middle plane" not in as_text(whole())


def test_each_fastener_has_its_mass() -> None:
    content = whole()
    (pins,) = (part["mass"] for part in content["parts"] if part["name"] == "pin")
    assert [row["mass"] for row in content["fasteners"]] == pytest.approx([pins / 2] * 2)


def test_handle_and_drill_card() -> None:
    content = whole()
    assert {"what", "x", "height", "width", "girth", "diameter"} == set(content["handle"]["sections"][0])
    (slabs,) = content["handle"]["buy"]
    assert (slabs["part"], slabs["material"], slabs["pieces"]) == ("scales", "NEMA L", 2)
    card = content["drill_card"]
    assert {place["name"] for place in card["places"]} == {hole["id"] for hole in content["holes"]}
    assert card["steps"][0]["phase"] == "before hardening"
    assert card["steps"][-1]["phase"] == "after hardening"
    bare = reported(block())
    assert (bare["handle"], bare["drill_card"]) == (None, None)


def test_findings_are_those_of_the_check() -> None:
    knife = block(Hole(x=-50.0, y=-2.0, diameter=6.0, purpose="lightening"))
    got = reported(knife, allowed=("rim", "rim"))
    assert [(f["code"], f["message"]) for f in got["findings"]] == [(f.code, f.message) for f in check(knife)]
    assert "error" in {f["severity"] for f in got["findings"]}
    assert got["overridden"] == ["rim"]


LINES = ("outline", "edge", "spine", "plunge", "handle_front")


@pytest.mark.parametrize("name", LINES)
def test_geometry_points_are_within_5_micrometres(name: str) -> None:
    knife = full()
    lines: dict[str, Curve] = {
        "outline": knife.outline.loop,
        "edge": knife.outline.edge,
        "spine": knife.outline.spine,
        "plunge": knife.plunge_line,
        "handle_front": knife.handle_front,
    }
    told = LineString(whole()["geometry"][name])
    true = points(lines[name], np.linspace(0, len(lines[name]), 400 * len(lines[name]) + 1))
    assert shapely.distance(shapely.points(true), told).max() <= 0.005
    corners = shapely.points(np.array(told.coords))
    assert shapely.distance(corners, LineString(true)).max() < 1e-4


def test_geometry_of_holes_and_grind_line() -> None:
    knife, told = full(), whole()["geometry"]
    assert len(told["holes"]) == len(knife.fasteners) + len(knife.holes)
    for hole, ring in zip(knife.openings, told["holes"], strict=True):
        away = np.hypot(*(np.array(ring) - (hole.x, hole.y)).T)
        np.testing.assert_allclose(away, hole.diameter / 2, rtol=1e-6)
        assert LineString(ring).distance(Point(hole.x, hole.y)) >= hole.diameter / 2 - 0.005
    edge = LineString(knife.outline.edge_points)
    for row in told["grind_line"]:
        d = shapely.distance(shapely.points(row), edge)
        # 16 mm: the bevel's height; the parallel is drawn by chords within 0.01 mm.
        np.testing.assert_allclose(d, 16.0, atol=0.01)


def test_geometry_only_where_asked_for() -> None:
    assert "geometry" not in reported(block(), geometry=False)


def test_names_survive_json_in_plain_ascii() -> None:
    name = 'Tom & "Jerry" <b> K\u00fcchenmesser \u5305\u4e01 back\\slash\nline \x00\x1b'
    text = as_json(reported(dataclasses.replace(block(), name=f"x{name}")))
    assert text.isascii()
    assert json.loads(text)["name"] == f"x{name}"


def test_parameters_of_any_kind_survive() -> None:
    values = {
        "a": 1,
        "b": 2.5,
        "c": True,
        "d": "text",
        "e": None,
        "f": math.nan,
        "g": math.inf,
        "h": (1, 2),
        "i": Point(0, 0),
    }
    text = as_json(reported(block(), parameters=values))

    def refuse(constant: str) -> None:
        raise AssertionError(f"{constant} is no JSON")

    got = json.loads(text, parse_constant=refuse)["parameters"]
    assert got == {**values, "f": "nan", "g": "inf", "h": "(1, 2)", "i": "POINT (0 0)"}


def test_json_refuses_what_is_no_number() -> None:
    with pytest.raises(ValueError, match="JSON"):
        as_json({"mass": math.nan})


def test_the_same_design_gives_the_same_text() -> None:
    assert as_json(reported(full())) == as_json(reported(full()))


def test_text_tells_it_in_mm_and_inch() -> None:
    knife = full()
    content = reported(knife, parameters={"blade_length": 110.0})
    text = as_text(content)
    total = content["total"]
    for wanted in (
        "Rigging knife, revision A",
        # 228 mm is 8.976 in; 4 mm is 0.157 in, nearer to no 64th; 0.5 mm is 0.020 in.
        "overall length     228.00 mm (8.976 in)",
        "1084, 4.00 mm (0.157 in)",
        "edge               0.50 mm (0.020 in); scribe 1.75 mm (0.069 in) from each face",
        f"  {show_mass(total['mass'])}\n",
        from_front(total["balance_x"]),
        "F1   fastener",
        "steel maker's and the shop's limits and local rules override them",
    ):
        assert wanted in text, wanted
    for finding in content["findings"]:
        assert finding["message"] in text


def test_text_without_holes_and_findings() -> None:
    knife = specimens.ground(specimens.bar_outline(), plunge=10.0)
    text = as_text({**report(Design(knife)), "findings": []})
    assert "no findings" in text
    assert "\nholes\n" not in text


def test_text_marks_what_the_maker_overrode() -> None:
    knife = block(Hole(x=-50.0, y=-2.0, diameter=6.0, purpose="lightening"))
    (code,) = {f.code for f in check(knife) if f.severity == "error"} & {"rim", "hole-outside", "edge-distance"}
    assert f"error OVERRIDDEN [{code}]" in as_text(reported(knife, allowed=(code,)))
    assert f"error [{code}]" in as_text(reported(knife))


def text_of(knife: Knife, **more: Any) -> str:
    grind = dataclasses.replace(knife.grind, **more)
    return as_text(reported(dataclasses.replace(knife, grind=grind)))


def test_text_tells_the_ground_side_alone() -> None:
    # Source: closed form: 4 - 0.5 mm on one side; atan(3.5 / 18) = 11.00 degrees.
    for only in ("right", "left"):
        text = text_of(block(), only=only)
        assert f"11 degrees on the {only} side\n" in text
        assert f"scribe 3.50 mm (0.138 in) from the {only} face\n" in text


def test_text_tells_for_which_face_is_scribed() -> None:
    faces = (FlatBevel(height=18.0, edge_thickness=0.5), AngledBevel(angle_deg=12.0, edge_thickness=0.25))
    assert "from each face for the first face (0.50 mm (0.020 in) stays)\n" in text_of(block(), bevel=faces)
    never = (faces[0], AngledBevel(angle_deg=12.0, edge_thickness=0.8))
    assert "1.75 mm (0.069 in) from each face\n" in text_of(block(), bevel=never)


def test_text_tells_the_chord_of_a_hollow() -> None:
    hollow = HollowBevel(wheel_diameter=254.0, height=18.0, edge_thickness=0.5)
    assert "degrees a side (chord)\n" in text_of(block(), bevel=hollow)
    assert "(chord)" not in text_of(block())


def test_text_tells_the_taper() -> None:
    stock = Stock(steel="1084", thickness=4.0, taper=((10.0, 4.0), (190.0, 1.7)))
    text = text_of(dataclasses.replace(block(), stock=stock), only="right")
    assert (
        "tapered: 4.00 mm (0.157 in) at x 10.00, 1.70 mm (0.067 in) at x 190.00; the tang 4.00 mm (0.157 in)\n" in text
    )
    assert "at the heel\n" in text


def test_text_tells_slots_zones_and_what_lightening_does() -> None:
    slot = Slot(start=(-40.0, -15.0), end=(-80.03, -15.0), diameter=10.0, purpose="lightening")
    zones = (
        TextureZone(start=20.0, end=150.0, depth=0.4),
        MarkZone(x=10.0, y=-5.0, width=8.0, height=4.0, text="MADE", side="left"),
    )
    knife = dataclasses.replace(block(slot), zones=zones)
    content, text = reported(knife), as_text(reported(knife))
    assert "slot 10.00 mm (0.394 in) wide, 50.03 mm (1.970 in) long" in text
    texture = content["zones"][0]
    assert f"texture, both sides: {texture['area']:.0f} mm2 of a face, 0.40 mm (0.016 in) deep" in text
    assert f"{texture['deepest']:.2f} mm" in text
    assert f"{show_mass(texture['mass'])} out" in text
    assert "mark, left side: MADE, 8.00 mm (0.315 in) by 4.00 mm (0.157 in) at x 10.00  y -5.00" in text
    assert "mm towards the tip\n" in text
    assert text.count("+ moves the balance towards the tip") == 1


def test_text_without_lightening_holes_and_zones() -> None:
    text = as_text(reported(block()))
    assert "\nlightening holes " not in text
    assert "\nzones\n" not in text


def test_geometry_of_a_left_handed_grind_has_its_grind_line() -> None:
    base = specimens.drop_point()
    left = dataclasses.replace(base, grind=dataclasses.replace(base.grind, only="left"))
    rows = report(Design(left), geometry=True)["geometry"]["grind_line"]
    assert [len(row) > 10 for row in rows] == [True]

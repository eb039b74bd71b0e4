"""What changed, in words: nothing is silent, nothing is told of what did not change, and directions turn round."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
import specimens

from bladegeom.cli import main
from bladegeom.fasteners.pin import Pin
from bladegeom.knife.cutting import Cutting
from bladegeom.knife.fastener import Fastener
from bladegeom.knife.handle_rules import HandleRules
from bladegeom.knife.hole import Hole, Slot
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Liner, Rounding, Scales
from bladegeom.knife.stock import Stock
from bladegeom.knife.zone import TextureZone
from bladegeom.order.order_facts import Lead
from bladegeom.outline.halves import BladeProfile, HandleProfile
from bladegeom.outline.outline import join_halves
from bladegeom.placing.place import add_fasteners
from bladegeom.profiles import get
from bladegeom.quantities.units import inch
from bladegeom.studies.difference import declared_changes, knife_difference
from bladegeom.studies.field_words import changed_fields


def knife(**changed: Any) -> Knife:
    scales = Scales(slab="NEMA L", thickness=8.0, liners=(Liner(sheet="G-10", thickness=0.8),))
    holes = (
        Hole(x=-60.0, y=-13.0, diameter=8.0, purpose="lightening"),
        Slot(start=(-72.0, -13.0), end=(-80.0, -13.0), diameter=6.0, purpose="lightening"),
    )
    specimen = specimens.drop_point(scales=scales, holes=holes)
    return replace(add_fasteners(specimen, Pin(rod="C26000", diameter=inch("1/4")), count=2), **changed)


def other(value: Any) -> Any:
    """Another value of the same kind, near the first."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, float):
        return value * 1.01 + 0.01
    return value


def variants(value: Any) -> Iterator[tuple[str, Any]]:
    """A declared value with one number or switch of it changed, wherever it stands in it."""
    for field in dataclasses.fields(value):
        inside = getattr(value, field.name)
        if field.name in (
            "source",
            "confidence",
            "note",
            "also",
            "composition",
            "outline",
            "profiles",
            "drills",
            "low",
            "high",
        ):
            continue
        if dataclasses.is_dataclass(inside):
            changes = variants(inside)
        elif isinstance(inside, tuple) and inside and dataclasses.is_dataclass(inside[0]):
            changes = ((name, (variant, *inside[1:])) for name, variant in variants(inside[0]))
        else:
            changes = iter([("", other(inside))]) if other(inside) != inside else iter(())
        for name, changed in changes:
            try:
                yield f"{field.name}.{name}".strip("."), replace(value, **{field.name: changed})
            except ValueError:
                # It is refused by a rule of its own: such a state cannot be declared.
                continue


AS_IT_IS = knife()
ALL = dict(variants(AS_IT_IS))


def test_there_is_something_to_change_everywhere() -> None:
    places = {"stock", "grind", "front_lean_deg", "front_bow", "holes", "scales", "fasteners", "rules", "shop"}
    assert {name.partition(".")[0] for name in ALL} >= places
    assert len(ALL) > 60


def test_whatever_changes_is_told() -> None:
    for name in list(ALL):
        assert list(declared_changes(AS_IT_IS, ALL[name])), name
        assert list(declared_changes(ALL[name], AS_IT_IS)), name


def test_factors_of_the_handles_rules_are_no_lengths() -> None:
    rules = replace(AS_IT_IS.handle_rules, engagement_hard=1.5, engagement_turns=4.0)
    assert AS_IT_IS.scales is not None
    new = replace(AS_IT_IS, handle_rules=rules, scales=replace(AS_IT_IS.scales, liners_glued=True))
    told = " ".join(declared_changes(AS_IT_IS, new))
    assert "thread wanted in hard metal, in diameters: 1 becomes 1.5" in told
    assert "turns of thread wanted: 3 becomes 4" in told
    assert "liners glued to the scales before drilling: no becomes yes" in told


def test_equal_designs_do_not_differ() -> None:
    assert knife_difference(knife(), knife()) == ()


def test_a_hole_that_moves_is_told_with_its_way_and_what_follows() -> None:
    first, slot = knife().holes
    assert isinstance(first, Hole)
    moved = replace(first, x=first.x - 1.5, y=first.y + 0.5)
    told = knife_difference(knife(), knife(holes=(moved, slot)))
    assert "hole L1 moved 1.50 mm (0.059 in) aft and 0.50 mm (0.020 in) up" in told
    back = knife_difference(knife(holes=(moved, slot)), knife())
    assert "hole L1 moved 1.50 mm (0.059 in) ahead and 0.50 mm (0.020 in) down" in back


def test_fasteners_and_holes_come_and_go() -> None:
    specimen = knife()
    told = knife_difference(specimen, replace(specimen, holes=specimen.holes[:1]))
    assert any(line.startswith("hole L2 at (-76.00, -13.00) is gone") for line in told)
    assert any(line.startswith("mass +") for line in told)
    more = Fastener(x=-50.0, y=-13.0, hardware=Pin(rod="C26000", diameter=inch("1/8")))
    told = knife_difference(specimen, replace(specimen, fasteners=(*specimen.fasteners, more)))
    assert any("at (-50.00, -13.00) is new: fastener with" in line for line in told)


def test_the_bar_the_profile_and_the_balance() -> None:
    specimen = knife()
    told = knife_difference(
        specimen, replace(specimen, stock=Stock(steel="1.4116", thickness=specimen.stock.thickness + 0.5))
    )
    before, after = "4.00 mm (0.157 in)", "4.50 mm (0.177 in)"
    assert f"stock, thickness: {before} becomes {after}" in told
    assert any(line.startswith("balance ") and "towards the tip" in line for line in told)


def test_a_longer_blade_is_told_by_its_measure_and_by_the_lines_that_moved() -> None:
    handle = get("swelled")()
    assert isinstance(handle, HandleProfile)
    outlines = []
    for length in (110.0, 120.0):
        blade = get("drop_point")(blade_length=length)
        assert isinstance(blade, BladeProfile)
        outlines.append(join_halves(blade, handle))
    told = knife_difference(knife(outline=outlines[0]), knife(outline=outlines[1]))
    assert "drop point, blade length: 110.00 mm (4.331 in) becomes 120.00 mm (4.724 in)" in told
    assert "blade length: 110.00 mm (4.331 in) becomes 120.00 mm (4.724 in), 10.00 mm (0.394 in) more" in told
    assert any(line.startswith("the edge lies up to ") for line in told)
    assert not any(line.startswith(("the handle", "the butt", "the choil", "heel")) for line in told)


def test_a_shorter_blade_is_as_far_off_as_a_longer_one() -> None:
    line_of = {}
    handle = get("swelled")()
    assert isinstance(handle, HandleProfile)
    for length in (110.0, 120.0):
        blade = get("drop_point")(blade_length=length)
        assert isinstance(blade, BladeProfile)
        line_of[length] = knife(outline=join_halves(blade, handle))
    longer, shorter = knife_difference(line_of[110.0], line_of[120.0]), knife_difference(line_of[120.0], line_of[110.0])
    for told in (longer, shorter):
        assert "the spine lies up to 10.00 mm (0.394 in) off where it was, at (120.00, -10.00)" in told


def test_the_smallest_change_is_not_told_as_nought() -> None:
    specimen = knife()
    first, slot = specimen.holes
    assert isinstance(first, Hole)
    told = knife_difference(specimen, replace(specimen, holes=(replace(first, x=first.x + 0.002), slot)))
    assert "hole L1 moved 0.0020 mm ahead" in told
    thicker = replace(specimen, stock=replace(specimen.stock, thickness=specimen.stock.thickness + 0.001))
    assert "stock, thickness: 4.000000 becomes 4.001000" in knife_difference(specimen, thicker)


def test_roundings_are_told_one_by_one() -> None:
    specimen = knife()
    assert specimen.scales is not None
    rounded = replace(specimen, scales=replace(specimen.scales, rounding=(Rounding(width=2.5, depth=2.0),)))
    assert any(
        line.startswith("scales, rounding") and "2.50 mm" in line for line in knife_difference(specimen, rounded)
    )


def test_the_command(tmp_path: Any, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["new", "one.py"]) == 0
    capsys.readouterr()
    assert main(["differ", "one.py", "blade_length=120"]) == 0
    told = capsys.readouterr().out
    assert "blade length: 110.00 mm (4.331 in) becomes 120.00 mm (4.724 in), 10.00 mm (0.394 in) more" in told
    assert main(["differ", "one.py", "one.py"]) == 0
    assert "nothing differs" in capsys.readouterr().out
    assert main(["differ", "one.py"]) == 2
    assert "name two scripts, the older one first" in capsys.readouterr().err


def test_a_measure_of_a_profile_is_told_with_its_name() -> None:
    blade, handle = get("drop_point")(), get("swelled")()
    old, new = (
        knife(outline=join_halves(blade, handle)),
        knife(outline=join_halves(replace(blade, heel=blade.heel + 2.0), replace(handle, swell=handle.swell - 1.0))),
    )
    told = knife_difference(old, new)
    assert any(line.startswith("drop point, heel: ") for line in told)
    assert any(line.startswith("swelled, swell: ") for line in told)
    other_shape = knife(outline=join_halves(get("chef")(), handle))
    assert any(line.startswith("profile 1: ") for line in knife_difference(old, other_shape))


def test_a_number_is_told_in_the_unit_that_its_field_declares() -> None:
    """The annotations of the fields are the source; days were once told in mm."""
    was = dataclasses.replace(
        specimens.drop_point(), zones=(TextureZone(start=20.0, end=60.0, depth=0.4, mean_depth=0.5),)
    )
    now = dataclasses.replace(
        was,
        zones=(TextureZone(start=20.0, end=60.0, depth=0.3, mean_depth=0.6),),
        cutting=Cutting(allowance=0.3),
        handle_rules=HandleRules(steep_deg=12.5, edge_diameters=1.75),
        revision="B",
    )
    told = list(declared_changes(was, now))
    for ending in (
        ", mean depth: 0.5 becomes 0.6",
        ", depth: 0.40 mm (0.016 in) becomes 0.30 mm (0.012 in)",
        "cutting, allowance: 0.00 mm (0.000 in) becomes 0.30 mm (0.012 in)",
        "becomes 12.5 degrees",
        "becomes 1.75",
        "revision: A becomes B",
    ):
        assert sum(line.endswith(ending) for line in told) == 1, (ending, told)
    assert len(told) == 6
    lead = changed_fields(Lead(queue=14.5, work=10.0), Lead(queue=30.0, work=10.0), "lead")
    assert list(lead) == ["lead, queue: 14.5 days becomes 30 days"]

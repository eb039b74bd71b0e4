"""Too little left of the tang's height, its weakest section; each fix mends what it is told for."""

from __future__ import annotations

import dataclasses
import re
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from refusals import assert_tells
from specimens import bar_outline, ground, tang_outline

from bladegeom.checks.net_section import check_net_section
from bladegeom.holes.net_section import NO_PROMISE
from bladegeom.knife.finding import Finding
from bladegeom.knife.hole import Hole, Opening, Slot
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import HoleRules

BARE = HoleRules(name="no other rules", rim=0.0, web=0.0, per_thickness=0.0, edge_distance_per_diameter=0.0)


def hole(x: float, y: float, d: float) -> Hole:
    return Hole(x=x, y=y, diameter=d, purpose="lightening")


def bar(*holes: Opening, **more: Any) -> Knife:
    """A bar 30 mm high, 4 mm thick, its tang 100 mm long."""
    return ground(bar_outline(heel=4.0), **{"holes": holes, "rules": BARE, **more})


def only(knife: Knife, code: str) -> Finding:
    (found,) = [f for f in check_net_section(knife) if f.code == code]
    return found


def narrow(knife: Knife) -> list[Finding]:
    return [f for f in check_net_section(knife) if f.code == "net-width"]


def number(found: Finding, before: str) -> float:
    """The length in mm after some words of the message."""
    hit = re.search(before + r" (-?\d+\.\d+) mm", found.message)
    assert hit is not None, found.message
    return float(hit[1])


def test_too_little_left_beside_one_hole() -> None:
    found = only(bar(hole(-50.0, -15.0, 16.0)), "net-width")
    assert found.severity == "error"
    assert (found.measured, found.limit, found.x) == pytest.approx((14.0, 15.0, -50.0))
    assert found.source.startswith("common practice, no source: 50 to 60 %")
    assert_tells(found.message, "-50.00 mm", "L1", "14.00 mm", "30.00 mm", "46.7", "15.00 mm")
    assert narrow(bar(hole(-50.0, -15.0, 15.0))) == []


def test_nothing_to_say_of_a_tang_without_holes() -> None:
    assert list(check_net_section(bar())) == []


def test_a_shop_s_own_share() -> None:
    rules = dataclasses.replace(BARE, name="our shop", net_width=0.7)
    found = only(bar(hole(-50.0, -15.0, 10.0), rules=rules), "net-width")
    assert found.source == "set by the shop: our shop"
    assert found.limit == pytest.approx(21.0)
    assert narrow(bar(hole(-50.0, -15.0, 16.0), rules=dataclasses.replace(BARE, net_width=0.0))) == []
    (all_of_it,) = narrow(bar(hole(-50.0, -15.0, 1.0), rules=dataclasses.replace(BARE, net_width=1.0)))
    assert "no wider than 0.00 mm" in all_of_it.message


def test_each_place_is_told_once() -> None:
    found = narrow(bar(hole(-30.0, -15.0, 17.0), hole(-50.0, -15.0, 10.0), hole(-80.0, -15.0, 16.0)))
    assert [f.x for f in found] == [-30.0, -80.0]
    assert [f.measured for f in found] == pytest.approx([13.0, 14.0])


def test_two_holes_on_one_line() -> None:
    found = only(bar(hole(-50.0, -22.0, 8.0), hole(-50.0, -8.0, 9.0)), "net-width")
    assert "at x -50.00 mm holes L1, L2 leave 13.00 mm" in found.message
    less = number(found, "make them together")
    assert less == pytest.approx(2.0)
    assert narrow(bar(hole(-50.0, -22.0, 8.0), hole(-50.0, -8.0, 9.0 - less))) == []
    # Or moved apart along x.
    assert narrow(bar(hole(-50.0, -22.0, 8.0), hole(-60.0, -8.0, 9.0))) == []


def wedge(*holes: Opening) -> Knife:
    """A tang 25 mm high at the front and 45 mm at the butt."""
    return ground(tang_outline([(-120.0, 10.0)], [(-120.0, -35.0)]), holes=holes, rules=BARE)


@given(st.floats(-100.0, -30.0), st.floats(10.0, 28.0))
def test_the_fixes_of_one_hole_mend_it(x: float, d: float) -> None:
    found = narrow(wedge(hole(x, -12.5, d)))
    assume(found)
    (finding,) = found
    # Shown to 0.01 mm, which is also what a finding lets pass.
    assert narrow(wedge(hole(x, -12.5, number(finding, "no wider than")))) == []
    if "move it to" in finding.message:
        moved = number(finding, "move it to x")
        assert narrow(wedge(hole(moved, -12.5, d))) == []
        # It is no farther than it must be: a millimetre before, the hole does not stand in high enough steel.
        assert (25.0 - (moved + d / 2 + 1.0) / 6) * 0.5 < d
        assert number(finding, "the tang is at least") == pytest.approx(2 * d, abs=0.006)
    else:
        assert d > 0.5 * (45.0 - d / 6) - 0.2


def test_a_hole_is_not_sent_where_another_stands() -> None:
    alone = number(narrow(wedge(hole(-40.0, -12.5, 17.0)))[0], "move it to x")
    other = hole(alone, -12.5, 10.0)
    (found,) = narrow(wedge(hole(-40.0, -12.5, 17.0), other))
    # Beyond the other hole's rim: half of both, and no web is asked for here.
    assert number(found, "move it to x") <= alone - 13.5
    assert narrow(wedge(hole(number(found, "move it to x"), -12.5, 17.0), other)) == []


@given(st.floats(17.0, 24.0), st.floats(-6.0, 6.0), st.floats(2.0, 8.0))
def test_the_fix_of_a_leaning_slot_mends_it(up: float, along: float, d: float) -> None:
    def slot(rise: float) -> Slot:
        low = (-50.0, -15.0 - rise / 2)
        return Slot(start=low, end=(-50.0 + along, -15.0 + rise / 2), diameter=d, purpose="lightening")

    found = narrow(bar(slot(up)))
    assume(found)
    most = number(found[0], "climbs no more than")
    assert narrow(bar(slot(most))) == []


def test_a_leaning_slot_wider_than_the_share() -> None:
    slot = Slot(start=(-40.0, -18.0), end=(-60.0, -12.0), diameter=16.0, purpose="lightening")
    (found,) = narrow(bar(slot))
    assert "lay it level and make it no wider than 15.00 mm" in found.message


# The weakest section.


def test_two_rows_near_the_borders_are_weak_edgewise() -> None:
    rows = [hole(-50.0, y, 6.0) for y in (-25.0, -5.0)]
    found = only(bar(*rows), "weak-section")
    # Source: parallel axes.
    left = 1 - 2 * (6.0**3 + 12 * 6.0 * 10.0**2) / 30.0**3
    assert (found.severity, found.x) == ("note", -50.0)
    assert (found.measured, found.limit) == pytest.approx((left, 0.5))
    assert found.source.startswith("own choice")
    assert f"holes L1, L2: against edgewise bending {100 * left:.1f} % of the weakest" in found.message
    assert found.message.endswith(NO_PROMISE)
    assert narrow(bar(*rows)) == []
    # At the mid height the same holes take far less.
    assert list(check_net_section(bar(hole(-50.0, -18.5, 6.0), hole(-50.0, -11.5, 6.0)))) == []


def test_a_shop_may_ask_to_be_told_earlier() -> None:
    rules = dataclasses.replace(BARE, name="our shop", weak_section=0.8)
    found = only(bar(hole(-50.0, -15.0, 10.0), rules=rules), "weak-section")
    assert "sideways bending 66.7 % of the weakest" in found.message
    assert found.source == "set by the shop: our shop"
    more = number(found, "less than 80 %;")
    assert more == pytest.approx(4.0)
    assert list(check_net_section(bar(hole(-50.0, -15.0, 10.0 - more - 1e-9), rules=rules))) == []


def test_a_waist_ahead_makes_a_hole_in_the_swell_harmless() -> None:
    # The swell keeps 60 % of itself, as much as the undrilled waist ahead of it: told only where more is asked for.
    upper = [(-30.0, -5.0), (-60.0, 0.0), (-110.0, 0.0)]
    outline = tang_outline(upper, [(-110.0, -25.0), (-60.0, -25.0), (-30.0, -20.0)])
    for share, d, told in ((0.99, 10.0, False), (0.99, 10.5, True), (0.95, 10.5, False)):
        rules = dataclasses.replace(BARE, weak_section=share)
        knife = ground(outline, holes=(hole(-80.0, -12.5, d),), rules=rules)
        assert [f.code for f in check_net_section(knife)] == (["weak-section"] if told else [])

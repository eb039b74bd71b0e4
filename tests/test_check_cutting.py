"""Steel that the hole rules allow and the process does not, and outlines that an allowance closes."""

from __future__ import annotations

import pytest
from specimens import bar_outline, ground, tang_outline

from bladegeom import Cutting, Hole, HoleRules
from bladegeom.checks.cutting import check_cutting
from bladegeom.knife.rules import Process

THIN = HoleRules(
    name="thin", rim=0.5, web=0.5, per_thickness=0.0, clear_strip=0.0, edge_distance_per_diameter=0.0, weak_section=0.0
)


@pytest.mark.parametrize("spare", [0.5, 0.02, 0.0, -0.02, -0.5])
def test_steel_beside_a_hole_must_be_what_the_process_leaves_sound(spare: float) -> None:
    """The bar's top is at y 0 and the hole 8 mm wide: its rim is its depth less 4 mm."""
    least = Process().least_web(4.0)
    hole = Hole(x=-50.0, y=-(4.0 + least + spare), diameter=8.0, purpose="lightening", made="cut")
    found = list(check_cutting(ground(bar_outline(heel=4.0), holes=(hole,), rules=THIN)))
    assert [finding.code for finding in found] == (["process-web"] if spare < -0.01 else [])
    for finding in found:
        assert (finding.measured, finding.limit) == pytest.approx((least + spare, least))
        assert (finding.x, finding.y) == (-50.0, hole.y)


def test_what_is_drilled_needs_no_web_of_the_process() -> None:
    hole = Hole(x=-50.0, y=-5.0, diameter=8.0, purpose="lightening", made="drilled")
    assert not list(check_cutting(ground(bar_outline(heel=4.0), holes=(hole,), rules=THIN)))


@pytest.mark.parametrize(("allowance", "closes"), [(0.45, False), (0.55, True)])
def test_an_allowance_closes_a_notch_of_twice_its_size(allowance: float, *, closes: bool) -> None:
    """A notch 1 mm wide in the tang's back: from each side the allowance takes its own."""
    upper = [(-60.0, 0.0), (-60.0, -8.0), (-61.0, -8.0), (-61.0, 0.0), (-120.0, 0.0)]
    knife = ground(tang_outline(upper, [(-120.0, -25.0)]), cutting=Cutting(allowance=allowance))
    codes = [finding.code for finding in check_cutting(knife)]
    assert ("allowance-closes" in codes) is closes

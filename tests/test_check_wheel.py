"""Hollow bevels against the shop's contact wheels."""

from __future__ import annotations

import dataclasses

from specimens import drop_point

from bladegeom import Grind, HollowBevel
from bladegeom.checks.wheel import check_wheel


def test_a_hollow_needs_a_wheel_that_the_shop_has() -> None:
    base = drop_point()
    for wheel, codes in ((254.0, set()), (300.0, {"no-such-wheel"})):
        face = HollowBevel(wheel_diameter=wheel, height=14.0, edge_thickness=0.6)
        knife = dataclasses.replace(base, grind=Grind(bevel=face, plunge=base.grind.plunge))
        found = list(check_wheel(knife))
        assert {f.code for f in found} == codes
    assert (found[0].measured, found[0].limit, found[0].severity) == (300.0, 254.0, "warning")
    assert "the nearest is 254.00 mm (10 in)" in found[0].message

"""The finding on the balance band: when it comes, what it measures, and that the change it names does what it says."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import pytest
from fastened import FLAT
from specimens import bar_outline, drop_point, ground

from bladegeom.balance.sensitivities import what_moves_balance_quickly
from bladegeom.findings.balance import check_balance
from bladegeom.findings.check import check
from bladegeom.knife.finding import Finding
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Scales
from bladegeom.mass.weigh import weigh
from bladegeom.quantities.balance_bands import DATUM, BalanceBand, balance_band
from bladegeom.quantities.tolerances import SHOP


def flat_bar(low: float, high: float, *, plunge: float = 199.0, **more: Any) -> Knife:
    """A bar from x = -100 to 200, of which hardly anything is ground off: it balances 50 mm ahead of the front."""
    return ground(bar_outline(), plunge=plunge, height=1e-3, balance=BalanceBand(low=low, high=high), **more)


def only(knife: Knife) -> Finding:
    (found,) = check_balance(knife)
    return found


def test_nothing_is_found_where_nothing_is_declared() -> None:
    assert not list(check_balance(drop_point()))


@pytest.mark.parametrize("band", [(40.0, 60.0), (50.0, 60.0), (40.0, 50.0)])
def test_nothing_is_found_inside_the_band_and_on_its_ends(band: tuple[float, float]) -> None:
    assert not list(check_balance(flat_bar(*band)))


def test_too_far_forward() -> None:
    found = only(flat_bar(20.0, 30.0))
    assert (found.code, found.severity, found.part) == ("balance-band", "warning", "knife")
    assert found.measured == pytest.approx(50.0, abs=1e-3)
    assert found.limit == 30.0
    assert found.source == "set by the maker"
    assert (found.x, found.y) == pytest.approx((50.0, -15.0), abs=1e-3)
    assert f"balances 50.00 mm (1.969 in) ahead of {DATUM}" in found.message
    assert (
        "(own band) is 20.00 mm (0.787 in) to 30.00 mm (1.181 in) ahead of the handle front at the spine"
        in found.message
    )
    assert "20.00 mm (0.787 in) too far forward" in found.message


def test_too_far_back() -> None:
    found = only(flat_bar(55.0, 100.0))
    assert found.limit == 55.0
    assert "5.00 mm (0.197 in) too far back" in found.message


def test_a_kind_of_knife_names_its_source() -> None:
    found = only(dataclasses.replace(flat_bar(0.0, 1.0), balance="hunter"))
    assert found.source == balance_band("hunter").source == "common practice, no source"
    assert "(hunter)" in found.message
    assert found.limit == 0.0


def test_the_smallest_change_that_reaches_the_band_is_named() -> None:
    # A tapered tang takes 100 x 30 x 4 / 4 mm3 off at x -66.7: 3000 of 36000, and 10.6 mm forward.
    knife = flat_bar(59.0, 100.0)
    forward = 3000 * (50 + 200 / 3) / (36000 - 3000)
    assert forward == pytest.approx(10.606, abs=0.001)
    found = only(knife)
    assert "the smallest single change that mends it is tang taper, from 4.00 mm" in found.message
    assert f"then it balances {50 + forward:.2f} mm" in found.message


def test_of_several_that_reach_it_the_smallest_is_named() -> None:
    # On light scales each denser slab moves the balance back. The band takes in all three; the least dense moves least.
    knife = flat_bar(-100.0, 0.0, scales=Scales(slab="Juglans nigra", thickness=8.0))
    at = weigh(knife).balance_from_front
    knife = dataclasses.replace(knife, balance=BalanceBand(low=at - 100.0, high=at - 1.0))
    reach = [
        sensitivity
        for sensitivity in what_moves_balance_quickly(weigh(knife))
        if sensitivity.balance is not None and sensitivity.balance < at - 1.0
    ]
    assert len(reach) >= 3
    least = max(reach, key=lambda sensitivity: sensitivity.balance or 0.0)
    assert f"is {least.words}; then" in only(knife).message


def test_the_change_that_is_named_ends_the_finding() -> None:
    knife = flat_bar(55.0, 100.0)
    (named,) = (
        sensitivity
        for sensitivity in what_moves_balance_quickly(weigh(knife))
        if sensitivity.words in only(knife).message
    )
    assert named.knife is not None
    assert not list(check_balance(named.knife))
    assert "balance-band" in {finding.code for finding in check(knife)}
    assert "balance-band" not in {finding.code for finding in check(named.knife)}


def test_where_none_reaches_it_the_nearest_is_named() -> None:
    found = only(flat_bar(70.0, 100.0))
    left = 20.0 - 3000 * (50 + 200 / 3) / 33000
    assert "no single change that was tried mends it; nearest comes tang taper, from 4.00 mm" in found.message
    assert f"which leaves {left:.2f} mm" in found.message


def test_where_nothing_helps_it_is_said() -> None:
    # A bare bar without holes or bevel to speak of: every change leaves the balance where it is or moves it forward.
    knife = flat_bar(20.0, 30.0, plunge=199.9)
    shifts = [
        sensitivity.balance_shift
        for sensitivity in what_moves_balance_quickly(weigh(knife))
        if sensitivity.balance_shift is not None
    ]
    assert len(shifts) >= 4
    assert min(shifts) > -SHOP
    assert only(knife).message.endswith("no single change that was tried brings it nearer without errors")


def test_a_change_that_brings_errors_is_named_last() -> None:
    # Two holes whose web is as wide as the bar is thick; the band is reached by the thicker bar alone, or by none.
    holes = tuple(Hole(x=x, y=-15.0, diameter=10.0, purpose="lightening") for x in (-50.0, -36.0))
    knife = ground(bar_outline(heel=4.0), holes=holes)
    tried = what_moves_balance_quickly(weigh(knife))
    (thicker,) = (
        sensitivity
        for sensitivity in tried
        if sensitivity.name == "stock thickness" and "thicker" in sensitivity.change
    )
    assert thicker.brings == ("web",)
    assert thicker.balance is not None
    others = [
        sensitivity.balance for sensitivity in tried if sensitivity.balance is not None and sensitivity is not thicker
    ]
    gap = min(abs(other - thicker.balance) for other in (*others, weigh(knife).balance_from_front))
    alone = BalanceBand(low=thicker.balance - gap / 3, high=thicker.balance + gap / 3)
    assert gap > 0.05
    assert "mends it is stock thickness, 4.50 mm" in only(dataclasses.replace(knife, balance=alone)).message
    assert "(brings errors: web); then" in only(dataclasses.replace(knife, balance=alone)).message
    # With a sound one in the band too, that one is named though it moves the balance farther.
    farther = [
        sensitivity.balance
        for sensitivity in tried
        if sensitivity.balance is not None
        and not sensitivity.brings
        and (sensitivity.balance_shift or 0.0) * (thicker.balance_shift or 0.0) > 0
        and abs(sensitivity.balance_shift or 0.0) > abs(thicker.balance_shift or 0.0)
    ]
    assert farther
    ends = sorted((thicker.balance, farther[0]))
    both = BalanceBand(low=ends[0] - 0.01, high=ends[1] + 0.01)
    message = only(dataclasses.replace(knife, balance=both)).message
    assert "mends it is" in message
    assert "brings errors" not in message


def test_it_is_a_warning_and_never_stops_a_cut_file() -> None:
    for band in ((-90.0, -80.0), (150.0, 190.0)):
        found = only(flat_bar(*band, scales=FLAT))
        assert found.severity == "warning"
        assert found.measured is not None
        assert math.isfinite(found.measured)

"""What holes take out of the steel where they run into each other or out of it: each place once."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from draws import draws
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_refused
from specimens import bar_outline, drop_point, ground

from bladegeom import BalanceBand, Design, Hole, Knife, ParameterError, Slot, Stock, Work, check, report, weigh

T, CHORD = 4.0, 0.0005


def hole(x: float, y: float, diameter: float) -> Hole:
    return Hole(x=x, y=y, diameter=diameter, purpose="lightening")


def bar(*holes: Hole | Slot) -> Knife:
    return dataclasses.replace(ground(bar_outline(), thickness=T), holes=holes)


@given(st.floats(2.0, 12.0), st.floats(0.0, 1.2))
@draws(20)
def test_two_holes_take_the_lens_between_them_once(diameter: float, apart: float) -> None:
    # Source: closed form, the lens of two equal circles: 2 r^2 acos(d / 2 r) - d / 2 sqrt(4 r^2 - d^2).
    r, d = diameter / 2, apart * diameter
    lens = 2 * r * r * math.acos(d / (2 * r)) - d / 2 * math.sqrt(4 * r * r - d * d) if d < 2 * r else 0.0
    taken = weigh(bar(hole(-50.0, -15.0, diameter), hole(-50.0 - d, -15.0, diameter))).by_holes
    assert taken.amount == pytest.approx(T * (2 * math.pi * r * r - lens), abs=T * CHORD * 4 * math.pi * r)
    assert taken.centre[0] == pytest.approx(-50.0 - d / 2, abs=1e-3)


def test_a_hole_over_the_spine_takes_half() -> None:
    taken = weigh(bar(hole(-50.0, 0.0, 10.0), hole(-70.0, -15.0, 6.0))).by_holes
    # Source: closed form, half a disc and a disc.
    assert taken.amount == pytest.approx(T * math.pi * (25 / 2 + 9), abs=T * CHORD * 15 * math.pi)


@pytest.mark.parametrize("stage", ["blank", "rough", "finished", "sharp"])
@pytest.mark.parametrize("taper", [(), ((0.0, 3.5), (110.0, 1.5))])
def test_the_same_hole_again_takes_nothing(stage: str, taper: tuple[tuple[float, float], ...]) -> None:
    """Through the bevel as through the tang, where a taper runs and where none does."""
    tapered = dataclasses.replace(drop_point(), stock=Stock(steel="1084", thickness=3.5, taper=taper))
    holes = (hole(40.0, -15.0, 6.0), hole(-60.0, -12.0, 6.0))
    once, twice = (
        getattr(weigh(dataclasses.replace(tapered, holes=found)), stage) for found in (holes, (*holes, *holes))
    )
    assert twice.amount == pytest.approx(once.amount, abs=3.5 * CHORD * 12 * math.pi)
    np.testing.assert_allclose(twice.centre, once.centre, atol=1e-3)


def test_forty_holes_at_one_place_are_told_and_the_steel_has_a_mass() -> None:
    """Each counted whole they took more than there was: a mass below zero, and a quench that could not be told."""
    design = Design(bar(*(hole(-50.0 + 0.01 * i, -15.0, 15.0) for i in range(40))), work=Work(mark="stamped"))
    assert {"holes-overlap", "rim", "edge-distance"} & {finding.code for finding in design.findings}
    assert design.heat_treat_card is not None
    assert design.heat_treat_card.mass_kg > 0
    steel = weigh(design.knife)
    one = weigh(bar(hole(-50.0, -15.0, 15.0)))
    assert 0 < one.blank.amount - steel.blank.amount < 0.4 * T * 15.0
    assert report(design)["total"]["mass"] > 0


def test_holes_that_leave_nothing_are_told_as_that() -> None:
    band = BalanceBand(name="own", low=-10.0, high=0.0)
    knife = dataclasses.replace(bar(hole(-50.0, -15.0, 900.0)), balance=band)
    for stage in ("blank", "rough", "finished", "sharp"):
        assert getattr(weigh(knife), stage).amount == 0
    (found,) = (finding for finding in check(knife) if finding.code == "holes-take-all")
    assert "narrower, or fewer" in found.message
    design = Design(knife, work=Work(mark="stamped"))
    assert "holes-take-all" in {finding.code for finding in design.findings}
    assert "heat_treat" not in design.route.keys
    with pytest.raises(ParameterError) as caught:
        report(design)
    assert_refused(caught.value, "knife: mass | holes | narrower")

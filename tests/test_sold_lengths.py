"""The lengths that screws are sold in."""

from __future__ import annotations

import itertools

import pytest

from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.sold_lengths import SoldLength, screw_lengths, sleeve_lengths
from bladegeom.quantities.threads import THREAD_SYSTEMS
from bladegeom.quantities.units import length


@pytest.mark.parametrize("system", THREAD_SYSTEMS)
def test_lengths_rise_and_each_is_what_its_name_says(system: str) -> None:
    known = screw_lengths(system)
    assert all(a.length < b.length for a, b in itertools.pairwise(known))
    assert all(sold_length.length == pytest.approx(length(sold_length.name), abs=1e-9) for sold_length in known)
    unit = {"inch": "in", "metric": "mm"}[system]
    assert all(sold_length.name.endswith(f" {unit}") for sold_length in known)


def test_each_row_says_where_it_comes_from() -> None:
    for system in THREAD_SYSTEMS:
        assert all(
            sold_length.source and sold_length.confidence in ("high", "medium", "low")
            for sold_length in screw_lengths(system)
        )


def test_inch_lengths_by_hand() -> None:
    # 5/8 in = 0.625 x 25.4 = 15.875
    by_name = {sold_length.name: sold_length.length for sold_length in screw_lengths("inch")}
    assert by_name["5/8 in"] == pytest.approx(15.875)
    assert by_name["1-1/4 in"] == pytest.approx(31.75)


def test_a_box_holds_what_a_standoff_may_need() -> None:
    """From shorter than any head is worth to longer than two scales: steps of at most 1/8 in or 4 mm up to 3/4 in."""
    for system in THREAD_SYSTEMS:
        short = [sold_length.length for sold_length in screw_lengths(system) if sold_length.length <= 20.0]
        assert short[0] <= 4.0
        assert max(b - a for a, b in itertools.pairwise(short)) <= 4.0


def test_an_unknown_system_is_refused_by_name() -> None:
    with pytest.raises(UnknownNameError, match="inch, metric"):
        screw_lengths("whitworth")


def test_a_screw_has_a_length() -> None:
    with pytest.raises(ValueError, match="length"):
        SoldLength(name="none", length=0.0, source="a test", confidence="high")


@pytest.mark.parametrize("system", THREAD_SYSTEMS)
def test_sleeves_rise_and_each_is_what_its_name_says(system: str) -> None:
    known = sleeve_lengths(system)
    assert all(a.length < b.length for a, b in itertools.pairwise(known))
    assert all(sold_length.length == pytest.approx(length(sold_length.name), abs=1e-9) for sold_length in known)
    assert all(sold_length.source and sold_length.confidence in ("high", "medium", "low") for sold_length in known)


def test_sleeves_that_no_shop_sells() -> None:
    with pytest.raises(UnknownNameError):
        sleeve_lengths("whitworth")
    with pytest.raises(ValueError, match="length"):
        SoldLength(name="none", length=0.0, source="x", confidence="low")

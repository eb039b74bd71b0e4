"""Tapers that run the wrong way, and tapers that lie off the knife, on a bar from x -100 to 200 mm."""

from __future__ import annotations

import dataclasses

import pytest
from specimens import bar_outline, ground

from bladegeom.checks.taper import check_taper
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.stock import Stock


def bar(*taper: tuple[float, float]) -> Knife:
    knife = ground(bar_outline(heel=10.0))
    return dataclasses.replace(knife, stock=Stock(steel="1084", thickness=4.0, taper=taper))


def one(knife: Knife) -> Finding:
    (finding,) = check_taper(knife)
    return finding


def test_reversed_stations() -> None:
    finding = one(bar((0.0, 1.5), (200.0, 3.5)))
    assert (finding.code, finding.severity) == ("taper-thins-tang", "warning")
    # Source: closed form: 1.5 + 2 x 10 / 200 at the plunge line.
    assert (finding.measured, finding.limit) == pytest.approx((1.5, 1.6))
    assert "the tang 1.50 mm (0.059 in) thick" in finding.message
    assert "the tip 3.50 mm (0.138 in): it seems to run the wrong way" in finding.message


def test_a_tapered_tang_is_a_note() -> None:
    finding = one(bar((-100.0, 2.0), (0.0, 4.0), (200.0, 1.5)))
    assert (finding.code, finding.severity, finding.x) == ("taper-thins-tang", "note", -100.0)
    assert finding.message.endswith(": a tapered tang")


def test_a_tapered_tang_before_an_even_blade_is_no_mistake() -> None:
    finding = one(bar((-100.0, 2.0), (0.0, 4.0)))
    assert (finding.code, finding.severity) == ("taper-thins-tang", "note")


@pytest.mark.parametrize(
    ("taper", "left", "does"),
    [
        (((200.0, 2.0), (250.0, 1.0)), 2.0, "it flattens the whole bar, 4.00 mm (0.157 in), to that thickness"),
        (((-300.0, 4.0), (-100.0, 3.0)), 3.0, "it flattens the whole bar"),
        (((50.0, 3.0),), 3.0, "it flattens the whole bar"),
        (((300.0, 4.0), (400.0, 2.0)), 4.0, "it does nothing"),
    ],
)
def test_stations_off_the_knife(taper: tuple[tuple[float, float], ...], left: float, does: str) -> None:
    finding = one(bar(*taper))
    assert (finding.code, finding.severity, finding.measured) == ("taper-off-the-knife", "warning", left)
    assert does in finding.message
    assert "between the butt, x -100.00 mm, and the tip, x 200.00 mm" in finding.message


@pytest.mark.parametrize("taper", [(), ((0.0, 4.0), (200.0, 1.5)), ((-100.0, 4.0), (200.0, 2.0))])
def test_clean(taper: tuple[tuple[float, float], ...]) -> None:
    assert list(check_taper(bar(*taper))) == []

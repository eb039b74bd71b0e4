"""Recipes by steel: held against the reference rows, and looked up inside the table alone."""

from __future__ import annotations

import itertools
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.quantities.errors import ParameterError, UnknownTreatmentError
from bladegeom.quantities.heat_treatments import HeatTreatment
from bladegeom.quantities.materials import material
from bladegeom.quantities.shown import oven_range, oven_temperature
from bladegeom.quantities.steel_treatments import heat_treatment, treated_steels
from bladegeom.quantities.temper_table import Hardness, Temper
from bladegeom.quantities.temperature import fahrenheit, fahrenheit_difference, show_difference

steels = st.sampled_from([name for name in treated_steels() if heat_treatment(name).tempers])


def treatment(**more: Any) -> HeatTreatment:
    return HeatTreatment(**{"steel": "own", "austenitize_c": 1060.0, "source": "steel maker's data sheet", **more})


def test_every_steel_of_the_table_is_a_material_and_every_name_has_a_falling_table() -> None:
    for name in treated_steels():
        schedule = heat_treatment(name)
        assert material(name).kind == "steel"
        assert len(schedule.falling) >= 2 or not schedule.tempers
        assert schedule.avoid
        assert schedule.source
        assert schedule.confidence in ("high", "medium", "low")
        assert schedule.plates or schedule.oil


@pytest.mark.parametrize(
    ("steel", "range_c", "at", "hrc", "confidence"),
    [
        # Public pages that reproduce handbook practice; three service-centre sheets; a service-centre table for 970 C.
        ("1095", (790, 815), 204, 62.5, "medium"),
        ("O1", (790, 815), 260, 60.0, "high"),
        ("A2", (954, 982), 205, 61.0, "high"),
        ("1.4116", (1010, 1060), 200, 55.0, "low"),
        ("52100", (815, 855), 230, 59.0, "medium"),
    ],
)
def test_rows_are_those_of_the_sheets(
    steel: str, range_c: tuple[float, float], at: float, hrc: float, confidence: str
) -> None:
    schedule = heat_treatment(steel)
    assert schedule.austenitize_range_c == range_c
    assert schedule.hardness_at(at).hrc == hrc
    assert schedule.confidence == confidence


@given(steels, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_a_hotter_temper_leaves_no_harder_steel_in_the_falling_table(steel: str, a: float, b: float) -> None:
    schedule = heat_treatment(steel)
    low, high = schedule.falling[0].celsius, schedule.falling[-1].celsius
    cool, hot = sorted((low + a * (high - low), low + b * (high - low)))
    assert schedule.hardness_at(hot).hrc <= schedule.hardness_at(cool).hrc + 1e-9


@given(steels, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_tempering_for_a_window_gives_a_hardness_inside_it(steel: str, a: float, b: float) -> None:
    schedule = heat_treatment(steel)
    most, least = schedule.falling[0].hardness.hrc, schedule.falling[-1].hardness.hrc
    low, high = sorted((least + a * (most - least), least + b * (most - least)))
    cool, hot = schedule.temper_for(low, high)
    assert schedule.falling[0].celsius <= cool <= hot <= schedule.falling[-1].celsius
    for celsius in (cool, (cool + hot) / 2, hot):
        assert low - 1e-6 <= schedule.hardness_at(celsius).hrc <= high + 1e-6


@given(steels, st.floats(0.01, 400.0))
def test_nothing_is_told_outside_the_table(steel: str, past: float) -> None:
    schedule = heat_treatment(steel)
    for celsius in (schedule.tempers[0].celsius - past, schedule.tempers[-1].celsius + past):
        with pytest.raises(ParameterError, match="nothing is known outside"):
            schedule.hardness_at(celsius)
    for hrc in (schedule.falling[0].hardness.hrc + past, schedule.falling[-1].hardness.hrc - past):
        assert schedule.part_given(hrc, hrc) is None
        with pytest.raises(ParameterError, match="nothing is guessed outside"):
            schedule.temper_for(hrc, hrc)


def test_secondary_hardening_is_not_looked_up_among_the_cool_tempers() -> None:
    """1.4034 hardens again from 51 HRC at 400 C to 52 at 500 C: the wanted 51.5 lies below 400 C."""
    schedule = heat_treatment("1.4034")
    assert schedule.falling[-1].celsius == 400.0
    assert schedule.temper_for(51.5, 51.5) == pytest.approx((350.0, 350.0))
    assert schedule.hardness_at(500.0).hrc == 52.0


def test_an_unknown_steel_is_refused_with_the_names_that_have_rows() -> None:
    with pytest.raises(UnknownTreatmentError, match=r"steel='304'.*1075,"):
        heat_treatment("304")


def test_a_steel_with_an_own_data_sheet() -> None:
    tempers = (
        Temper(celsius=150.0, hardness=Hardness(hrc=62.0, low=61.0, high=62.5)),
        Temper(celsius=200.0, hardness=Hardness(hrc=60.0, low=59.0, high=61.0)),
    )
    assert treatment(tempers=tempers).temper_for(61.0, 61.0) == pytest.approx((175.0, 175.0))
    assert treatment().austenitize_range_c == (1060.0, 1060.0)
    with pytest.raises(ParameterError, match="no tempering table for own"):
        treatment().temper_for(60.0, 61.0)
    with pytest.raises(ParameterError, match="no tempering table for own"):
        treatment().hardness_at(200.0)


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"austenitize_c": 1925.0}, "austenitize_c"),
        ({"austenitize_c": float("nan")}, "austenitize_c"),
        ({"source": " "}, "source"),
        ({"austenitize_low_c": 1070.0}, "lie in its own range"),
        ({"preheat_c": (20.0,)}, "preheat_c"),
        ({"specific_heat_j_kg_k": 0.0}, "specific_heat"),
        ({"tempers": tuple(Temper(celsius=c, hardness=Hardness(hrc=60, low=60, high=60)) for c in (200, 200))}, "more"),
    ],
)
def test_values_that_no_steel_has(wrong: dict[str, Any], told: str) -> None:
    with pytest.raises(ParameterError, match=told):
        treatment(**wrong)


def test_hardness_lies_in_its_range() -> None:
    with pytest.raises(ParameterError, match="hardness"):
        Hardness(hrc=60.0, low=61.0, high=62.0)
    assert Hardness(hrc=60.0, low=60.0, high=60.0).words == "60.0 HRC"
    assert Hardness(hrc=60.0, low=59.0, high=61.0).words == "60.0 HRC (59.0 to 61.0)"


def test_both_scales_and_an_interval_without_its_32() -> None:
    """Fixed points: ice 32 F, steam 212 F, -40 the same on both (NIST SP 811)."""
    assert [fahrenheit(c) for c in (0.0, 100.0, -40.0)] == [32.0, 212.0, -40.0]
    assert oven_temperature(815.0).text == "815 C (1499 F)"
    assert oven_range(800.0, 830.0).text == "800 to 830 C (1472 to 1526 F)"
    assert oven_range(800.0, 800.2).text == "800 C (1472 F)"
    assert show_difference(50 / 1.8) == "27.8 K (50.0 F)"


@given(st.floats(-200.0, 1300.0), st.floats(-200.0, 1300.0))
def test_a_difference_is_the_difference(a: float, b: float) -> None:
    assert fahrenheit_difference(a - b) == pytest.approx(fahrenheit(a) - fahrenheit(b), abs=1e-9)


def test_rows_of_each_steel_rise_in_temperature() -> None:
    for name in treated_steels():
        for a, b in itertools.pairwise(heat_treatment(name).tempers):
            assert a.celsius < b.celsius

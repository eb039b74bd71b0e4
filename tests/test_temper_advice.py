"""Advice on tempering keeps out of the ranges in which a steel grows worse, and says so where it cannot."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.heat_treatments import HeatTreatment
from bladegeom.quantities.steel_treatments import heat_treatment, treated_steels
from bladegeom.quantities.temper_advice import OVEN_SWING, AvoidTemper, TemperAdvice, advise
from bladegeom.quantities.temper_table import Hardness, Temper

TEMPERED = [name for name in treated_steels() if heat_treatment(name).tempers]


def avoid(low: float, high: float) -> AvoidTemper:
    return AvoidTemper(low_c=low, high_c=high, why="it grows brittle", source="sheet")


def span(advice: TemperAdvice) -> tuple[float, float, float]:
    return advice.least, advice.aim, advice.most


@pytest.mark.parametrize(
    ("least", "aim", "most", "told", "spared", "within"),
    [
        (180.0, 200.0, 220.0, (180.0, 200.0, 220.0), 0, 0),  # below the range
        (180.0, 200.0, 230.0, (180.0, 200.0, 230.0), 0, 0),  # up to its border
        (204.0, 232.0, 260.0, (204.0, 225.0, 230.0), 1, 0),  # into it: cut, half of an oven's swing off
        (200.0, 300.0, 420.0, (200.0, 225.0, 230.0), 1, 0),  # across it: the harder side
        (250.0, 330.0, 400.0, (370.0, 375.0, 400.0), 1, 0),  # out of it
        (226.0, 240.0, 260.0, (226.0, 228.0, 230.0), 1, 0),  # as far off as there is room
        (240.0, 250.0, 260.0, (240.0, 250.0, 260.0), 0, 1),  # inside: told, with the warning
        (300.0, 300.0, 300.0, (300.0, 300.0, 300.0), 0, 1),
        (380.0, 390.0, 400.0, (380.0, 390.0, 400.0), 0, 0),  # above
    ],
)
def test_a_span_is_kept_out_of_a_range(
    least: float, aim: float, most: float, told: tuple[float, float, float], spared: int, within: int
) -> None:
    advice = advise(least, aim, most, [avoid(230.0, 370.0)])
    assert span(advice) == told
    assert len(advice.spared) == spared
    assert (advice.within is not None) == bool(within)
    assert bool(advice.warning) == bool(advice.within or advice.narrow)
    assert len(advice.words) == spared + bool(advice.warning)


def test_two_ranges_leave_the_coolest_part() -> None:
    advice = advise(150.0, 250.0, 600.0, [avoid(200.0, 300.0), avoid(400.0, 500.0)])
    assert span(advice) == (150.0, 195.0, 200.0)
    assert span(advise(250.0, 350.0, 450.0, [avoid(200.0, 300.0), avoid(400.0, 500.0)])) == (300.0, 350.0, 400.0)


@given(st.sampled_from(TEMPERED), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_no_advice_reaches_into_a_range_without_saying_so(steel: str, a: float, b: float) -> None:
    treatment = heat_treatment(steel)
    most, least = treatment.falling[0].hardness.hrc, treatment.falling[-1].hardness.hrc
    low, high = sorted((least + a * (most - least), least + b * (most - least)))
    advice = treatment.advice(low, high)
    assert advice.least <= advice.aim <= advice.most
    for celsius in span(advice):
        assert low - 1e-6 <= treatment.hardness_at(celsius).hrc <= high + 1e-6
        assert advice.within is not None or not any(out.low_c < celsius < out.high_c for out in treatment.avoid)
    for out in advice.spared if advice.within is None else ():
        # Of what an oven wanders half stays clear of the range, or half of what is left.
        clear = min(OVEN_SWING, advice.most - advice.least) / 2
        assert not out.low_c - clear + 1e-9 < advice.aim < out.high_c + clear - 1e-9
    crossed = [out for out in treatment.avoid if advice.least < out.high_c and out.low_c < advice.most]
    assert crossed == ([advice.within] if advice.within else [])
    # Never over a plateau into the secondary hardening: beyond the falling rows no temperature is told.
    assert advice.most <= treatment.falling[-1].celsius


@pytest.mark.parametrize(
    ("steel", "end"),
    [
        ("A2", 370.0),  # 58 HRC at 370, 425 and 480 C in the service centre's sheet
        ("D2", 350.0),  # 55.5 HRC at 350 and 400 C in the producers' sheets
        ("440C", 316.0),  # 55 HRC at 316 C, 56 at 371
        ("1.4034", 400.0),  # 51 HRC at 400 C, 52 at 500
    ],
)
def test_a_wanted_hardness_is_not_looked_up_beyond_a_plateau(steel: str, end: float) -> None:
    treatment = heat_treatment(steel)
    assert treatment.falling[-1].celsius == end
    softest = treatment.falling[-1].hardness.hrc
    assert treatment.temper_for(softest, softest)[1] == end
    with pytest.raises(ParameterError, match="secondary hardening"):
        treatment.temper_for(softest - 1.0, softest)
    hotter = [temper for temper in treatment.tempers if temper.celsius > end]
    assert hotter
    assert all(treatment.row_words(temper) for temper in hotter)


@pytest.mark.parametrize(
    ("steel", "low", "high", "told"),
    [
        ("O1", 60.0, 62.0, (204.0, 230.0)),
        ("1095", 55.5, 62.5, (204.0, 230.0)),
        ("A2", 58.0, 60.0, (260.0, 320.0)),
        ("W2", 60.0, 64.0, (167.3, 230.0)),
    ],
)
def test_low_tempers_stop_at_the_border(steel: str, low: float, high: float, told: tuple[float, float]) -> None:
    """Rows of the sheets, straight between; by them alone 1095 was sent up to 316 C, A2 up to 480 C."""
    advice = heat_treatment(steel).advice(low, high)
    assert (advice.least, advice.most) == pytest.approx(told, abs=0.5)
    assert advice.spared
    assert any(f"{advice.most:.0f} to" in words for words in advice.words)


def test_a_hardness_that_only_the_brittle_range_gives_is_told_with_a_warning() -> None:
    advice = heat_treatment("1095").advice(56.0, 58.0)
    assert advice.within is not None
    assert (advice.within.low_c, advice.within.high_c) == (230.0, 370.0)
    assert "brittle" in advice.warning
    assert advice.words == (f"Mind: {advice.warning}.",)


def test_low_alloy_steels_are_kept_from_about_230_to_370_c() -> None:
    """Embrittlement of tempered martensite: 200 to 370 C (parts makers' association), 250 to 400 C (lecture text)."""
    for steel in ("1075", "1080", "1084", "1095", "W1", "W2", "O1", "1.2842", "52100", "5160"):
        (out,) = heat_treatment(steel).avoid
        assert 200.0 <= out.low_c <= 250.0
        assert 370.0 <= out.high_c <= 400.0


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"low_c": 300.0, "high_c": 300.0}, "lower temperature first"),
        ({"why": " "}, "why"),
        ({"source": ""}, "source"),
    ],
)
def test_a_range_to_avoid_has_a_reason(wrong: dict[str, Any], told: str) -> None:
    with pytest.raises(ParameterError, match=told):
        AvoidTemper(**{"low_c": 200.0, "high_c": 300.0, "why": "brittle", "source": "sheet", **wrong})


def test_ranges_to_avoid_follow_each_other() -> None:
    with pytest.raises(ParameterError, match="more than the one before"):
        HeatTreatment(
            steel="own", austenitize_c=1000.0, source="sheet", avoid=(avoid(200.0, 300.0), avoid(250.0, 400.0))
        )


def test_hardly_anything_left_beside_a_range_is_warned_of() -> None:
    """The case of 1080 at 54 to 58 HRC: 3 K right below the brittle range; an oven wanders more."""
    narrow = heat_treatment("1080").advice(54.0, 58.0)
    assert narrow.narrow is not None
    assert "an oven wanders 10 K" in narrow.warning
    assert any(narrow.warning in line for line in narrow.words)
    wide = heat_treatment("1080").advice(57.0, 60.0)
    assert wide.spared
    assert not wide.warning


def test_the_source_of_a_temperature_is_that_of_its_rows() -> None:
    """5160 is hardened by a handbook, but its tempering table is second hand and of low confidence."""
    steel = heat_treatment("5160")
    assert steel.confidence == "high"
    assert steel.table_source(200.0, 210.0) == steel.tempers[2].hardness.source
    assert "confidence low" in steel.table_source(200.0, 210.0)
    own = [Temper(celsius=at, hardness=Hardness(hrc=hrc, low=hrc, high=hrc)) for at, hrc in ((150, 62), (250, 58))]
    mine = HeatTreatment(steel="A2", austenitize_c=960.0, source="my sheet", tempers=tuple(own))
    assert mine.table_source(150.0, 150.0) == "my sheet"

"""Bands for the balance point: the table, looking up, a maker's own, and their words."""

from __future__ import annotations

import dataclasses
import math
import pickle
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from specimens import drop_point

from bladegeom.quantities.balance_bands import BalanceBand, balance_band, balance_bands, from_front
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.rows import table_rows
from bladegeom.quantities.tolerances import SHOP

USUAL = {
    # Common practice, no source: a hunter 0 to 15 mm behind the handle front, a chef's knife within 10 mm of the pinch
    # grip, a chopper 25 to 50 mm ahead.
    "hunter": (-15.0, 0.0),
    "skinner": (-15.0, 0.0),
    "everyday": (-15.0, 0.0),
    "chef": (-10.0, 10.0),
    "camp": (25.0, 50.0),
    "chopper": (25.0, 50.0),
}


@pytest.mark.parametrize("name", USUAL)
def test_usual_bands(name: str) -> None:
    band = balance_band(name)
    assert (band.name, band.low, band.high) == (name, *USUAL[name])


def test_every_row_names_its_source_and_how_sure_it_is() -> None:
    bands = balance_bands()
    assert len({band.name for band in bands}) == len(bands) >= 9
    for band in bands:
        assert band.source == "common practice, no source"
        assert band.confidence == "low"
        assert band.note
        assert balance_band(band.name) is band
    for row in table_rows("balance_bands.csv"):
        assert row["low"].endswith("mm")
        assert row["high"].endswith("mm")


def test_case_and_spaces_do_not_matter() -> None:
    assert balance_band(" Hunter ") is balance_band("hunter")


def test_unknown_kinds_are_answered_with_known_ones() -> None:
    with pytest.raises(UnknownNameError) as caught:
        balance_band("choper")
    assert caught.value.suggestions[0] == "chopper"
    with pytest.raises(UnknownNameError, match="hunter"):
        balance_band("zzz")
    with pytest.raises(ParameterError, match="BalanceBand"):
        balance_band(5.0)  # type: ignore[arg-type]


def test_own_band() -> None:
    own = BalanceBand(low=-3.0, high=4.0)
    assert balance_band(own) is own
    assert (own.name, own.source) == ("own band", "set by the maker")
    with pytest.raises(dataclasses.FrozenInstanceError):
        own.low = 0.0  # type: ignore[misc]
    assert pickle.loads(pickle.dumps(own)) == own


@pytest.mark.parametrize(
    ("ends", "told"),
    [
        ({"low": 4.0, "high": 4.0}, "more than low, 4.00 mm"),
        ({"low": 10.0, "high": -5.0}, "more than low"),
        ({"low": math.nan, "high": 1.0}, "low"),
        ({"low": 0.0, "high": math.inf}, "high"),
        ({"low": "5 mm", "high": 9.0}, "low"),
        ({"low": True, "high": 9.0}, "low"),
    ],
)
def test_bands_that_cannot_be(ends: dict[str, Any], told: str) -> None:
    with pytest.raises(ParameterError, match=told):
        BalanceBand(**ends)


@pytest.mark.parametrize(
    ("low", "high", "told"),
    [
        (-15.0, 0.0, "0 to 15.00 mm (0.591 in) behind the handle front at the spine"),
        (-30.0, -20.0, "20.00 mm (0.787 in) to 30.00 mm (1.181 in) behind the handle front at the spine"),
        (25.0, 50.0, "25.00 mm (0.984 in) to 50.00 mm (1.969 in) ahead of the handle front at the spine"),
        (0.0, 10.0, "0 to 10.00 mm (0.394 in) ahead of the handle front at the spine"),
        (-5.0, 5.0, "5.00 mm (0.197 in) behind to 5.00 mm (0.197 in) ahead of the handle front at the spine"),
    ],
)
def test_words(low: float, high: float, told: str) -> None:
    assert BalanceBand(low=low, high=high).words == told


def test_words_of_a_place() -> None:
    assert from_front(25.4) == "25.40 mm (1 in) ahead of the handle front at the spine"
    assert from_front(-0.001) == "level with the handle front at the spine"


@given(st.floats(-200.0, 200.0), st.floats(0.1, 100.0), st.floats(-300.0, 300.0))
def test_a_miss_is_the_way_back_to_the_band(low: float, wide: float, balance: float) -> None:
    band = BalanceBand(low=low, high=low + wide)
    miss = band.miss(balance)
    assert band.low - 1e-9 <= balance - miss <= band.high + 1e-9
    assert (miss == 0) == (band.low <= balance <= band.high)
    assert miss * (balance - (band.low + band.high) / 2) >= 0
    assert band.holds(balance) == (abs(miss) <= SHOP)


def test_a_knife_declares_one_by_name_or_value() -> None:
    assert drop_point().balance_band is None
    assert drop_point(balance="hunter").balance_band == balance_band("hunter")
    own = BalanceBand(low=-3.0, high=4.0)
    assert drop_point(balance=own).balance_band is own
    assert drop_point(balance="Hunter") == drop_point(balance="hunter")
    with pytest.raises(UnknownNameError, match="hunter"):
        drop_point(balance="huntr")
    with pytest.raises(ParameterError, match="balance"):
        drop_point(balance=-10)

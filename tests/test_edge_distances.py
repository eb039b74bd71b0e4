"""Edge distances against the printed rows of the standards; beyond the tables' ends."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from refusals import assert_refused

from bladegeom.quantities.edge_distances import EdgeRow, edge_distance, edge_rows, edge_tables
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.units import inch

# Source: ANSI/AISC 360-16 Table J3.4, bolt and distance in inches.
J3_4 = [
    ("1/2", "3/4"),
    ("5/8", "7/8"),
    ("3/4", "1"),
    ("7/8", "1-1/8"),
    ("1", "1-1/4"),
    ("1-1/8", "1-1/2"),
    ("1-1/4", "1-5/8"),
]
# Source: ANSI/AISC 360-16 Table J3.4M, bolt and distance in mm.
J3_4M = [(16.0, 22.0), (20.0, 26.0), (22.0, 28.0), (24.0, 30.0), (27.0, 34.0), (30.0, 38.0), (36.0, 46.0)]

ROWS = [("AISC J3.4", inch(a), inch(b)) for a, b in J3_4] + [("AISC J3.4M", a, b) for a, b in J3_4M]
BEGINS = {"AISC J3.4": inch("1/2"), "AISC J3.4M": 16.0}
LARGEST = {"AISC J3.4": inch("1-1/4"), "AISC J3.4M": 36.0}

tables = st.sampled_from(edge_tables())
diameters = st.floats(0.5, 100.0)


@pytest.mark.parametrize(("table", "diameter", "distance"), ROWS)
def test_rows_of_the_standard(table: str, diameter: float, distance: float) -> None:
    got = edge_distance(table, diameter)
    assert got.distance == distance
    assert not got.extrapolated
    assert got.confidence == "high"
    assert got.source.startswith("ANSI/AISC 360-16 Table J3.4")


def test_nothing_but_those_rows() -> None:
    sizes = [(r.table, r.diameter, r.distance) for r in edge_rows() if r.distance is not None]
    assert sizes == ROWS
    # Source: AISC for sizes over the largest 1.25 d; EN 1993-1-8 Table 3.3 1.2 d0; aircraft practice 2 D.
    factors = {r.table: (r.diameter, r.factor, r.counts) for r in edge_rows() if r.factor is not None}
    assert factors == {
        "AISC J3.4": (inch("1-1/4"), 1.25, "bolt"),
        "AISC J3.4M": (36.0, 1.25, "bolt"),
        "EN 1993-1-8": (None, 1.2, "hole"),
        "aircraft 2D": (None, 2.0, "bolt"),
    }


def test_worked_examples() -> None:
    # Source: EN 1993-1-8 and ASME B18.2.8: a #8 screw in its normal hole of 0.196 in; AC 43.13-1B: 2 D of 0.164 in.
    assert edge_distance("EN 1993-1-8", inch(0.196)).distance == pytest.approx(inch(0.2352))
    assert edge_distance("aircraft 2D", inch(0.164)).distance == pytest.approx(inch(0.328))


@pytest.mark.parametrize("table", BEGINS)
def test_over_the_largest_size(table: str) -> None:
    largest = LARGEST[table]
    assert edge_distance(table, 2 * largest).distance == 2.5 * largest
    # Right over it 1.25 d would be less than the largest size itself asks for.
    assert edge_distance(table, largest + 0.01).distance == edge_distance(table, largest).distance
    assert not edge_distance(table, 2 * largest).extrapolated


@given(tables, diameters)
def test_extrapolation_is_marked(table: str, diameter: float) -> None:
    got = edge_distance(table, diameter)
    assume(abs(diameter - BEGINS.get(table, 0.0)) > 1e-6)
    assert got.extrapolated == (diameter < BEGINS.get(table, 0.0))
    assert got.extrapolated == ("extrapolated: the table begins at" in got.source)
    if got.extrapolated:
        assert got.confidence == "low"


@given(tables, diameters, diameters)
def test_it_never_falls_with_the_diameter(table: str, diameter: float, other: float) -> None:
    low, high = sorted((diameter, other))
    assert edge_distance(table, low).distance <= edge_distance(table, high).distance


@given(tables, diameters)
def test_never_less_than_a_published_ratio(table: str, diameter: float) -> None:
    # Source: ANSI/AISC 360-16 Table J3.4 footnote: never below one diameter; its least ratio is 1.25, EN's 1.2.
    assert edge_distance(table, diameter).distance >= 1.2 * diameter * (1 - 1e-12)


def test_each_row_has_a_source() -> None:
    assert all(row.source and row.confidence in ("high", "medium", "low") for row in edge_rows())


def test_refused() -> None:
    with pytest.raises(UnknownNameError) as unknown:
        edge_distance("AISC J34", 10.0)
    assert unknown.value.suggestions[0] == "AISC J3.4"
    with pytest.raises(ParameterError) as caught:
        edge_distance("aircraft 2D", 0.0)
    assert_refused(caught.value, "hole: diameter | 0")
    with pytest.raises(ParameterError, match="x: distance"):
        EdgeRow(table="x", counts="bolt", diameter=1.0, distance=2.0, factor=2.0, source="s", confidence="low")

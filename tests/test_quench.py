"""Plate quench: heat balance, and cooling held against the equation of heat through the thickness."""

from __future__ import annotations

import dataclasses
import itertools

import numpy as np
import pytest
from draws import quick_rows
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.steel_heat import conductivity, enthalpy, specific_heat
from bladegeom.workshop.quench import CONDUCTANCES, PlateQuench, Plates

PAIR = Plates(length=300.0, width=150.0, thickness=25.0)
BLADE = PlateQuench(
    mass_kg=0.200, thickness=4.0, start_c=1010.0, plates=PAIR, specific_heat=460.0, conductivity=25.0, density=7700.0
)


def test_the_worked_example() -> None:
    """0.200 kg from 1010 to 50 C into 6.075 kg of 6061: 88320 J / 5443.2 J/K = 16.23 K; by the enthalpy 25.35 K."""
    assert pytest.approx(6.075) == PAIR.mass_kg
    assert BLADE.rise_constant == pytest.approx(16.23, rel=0.01)
    assert BLADE.rise == pytest.approx(25.35, rel=0.01)


@pytest.mark.parametrize(
    ("celsius", "kj_kg"),
    # The integral of EN 1993-1-2's specific heat by quadrature, from 20 C.
    [(100, 37.21), (200, 88.19), (400, 201.34), (600, 335.74), (735, 475.43), (800, 561.60), (1010, 703.56)],
)
def test_enthalpy_of_the_standard(celsius: float, kj_kg: float) -> None:
    assert enthalpy(celsius) / 1000 == pytest.approx(kj_kg, rel=1e-3)


@given(st.floats(20.0, 1200.0))
def test_enthalpy_is_the_integral_of_the_specific_heat(celsius: float) -> None:
    parts = [20.0, *(t for t in (600.0, 735.0, 900.0) if t < celsius), celsius]
    total = sum(quad(specific_heat, a, b)[0] for a, b in itertools.pairwise(parts))
    assert enthalpy(celsius) == pytest.approx(total, rel=1e-6, abs=1e-3)


def test_specific_heat_and_conductivity_of_the_standard() -> None:
    """Rows evaluated from EN 1993-1-2: 439.80176, 760.217391, 5000, 803.26087 J/(kg K); 53.3 and 27.3 W/(m K)."""
    found = [specific_heat(t) for t in (20.0, 600.0, 735.0, 800.0, 1000.0)]
    assert found == pytest.approx([439.80176, 760.217391, 5000.0, 803.26087, 650.0])
    assert [conductivity(t) for t in (20.0, 1000.0)] == pytest.approx([53.334, 27.3])
    for outside in (19.0, 1201.0, float("nan")):
        with pytest.raises(ParameterError, match="where the formulas hold"):
            enthalpy(outside)


def solved(quench: PlateQuench, conductance: float) -> float:
    """Seconds until the mean temperature is the end's, by explicit finite differences through half the thickness.

    Cells of a 12th of the half thickness, heat content by the standard's enthalpy, the plates even in temperature.
    """
    cells = 12
    dx = quench.thickness / 2000 / cells
    at = np.linspace(20.0, quench.start_c, 4001)
    content = np.array([enthalpy(t) for t in at.tolist()])
    heat = np.full(cells, content[-1])
    step = 0.4 * dx**2 * quench.density * 439.0 / quench.conductivity
    wall = 1 / (1 / conductance + dx / 2 / quench.conductivity)
    end, t = enthalpy(quench.end_c), 0.0
    before = heat.mean()
    while heat.mean() > end:
        before = heat.mean()
        celsius = np.interp(heat, content, at)
        given_off = quench.mass_kg * (content[-1] - before)
        plate = quench.plates.celsius + given_off / quench.plates.heat_capacity
        flow = np.concatenate([[0.0], quench.conductivity * np.diff(celsius) / dx, [wall * (plate - celsius[-1])]])
        heat = heat + step * np.diff(flow) / (quench.density * dx)
        t += step
    return float(t - step * (end - heat.mean()) / (before - heat.mean()))


COOLED = [(2.0, 500.0), (4.0, 1000.0), (6.0, 400.0), (8.0, 1000.0)]


@pytest.mark.parametrize(("thickness", "conductance"), quick_rows(COOLED, COOLED[1]))
def test_lumped_cooling_agrees_with_the_equation_of_heat(thickness: float, conductance: float) -> None:
    quench = dataclasses.replace(BLADE, thickness=thickness)
    assert quench.biot(conductance) <= 0.161
    assert quench.seconds(conductance) == pytest.approx(solved(quench, conductance), rel=0.05)


def test_with_constant_heat_the_time_is_the_logarithm(monkeypatch: pytest.MonkeyPatch) -> None:
    """Large plates and an even specific heat: t = rho T c / (2 h) ln((T0 - Tp) / (T1 - Tp)), with the inner part."""
    monkeypatch.setattr("bladegeom.workshop.quench.enthalpy", lambda celsius: 460.0 * (celsius - 20.0))
    large = dataclasses.replace(BLADE, plates=Plates(length=1e4, width=1e4, thickness=1e3))
    through = 500.0 / (1 + 500.0 * 0.002 / 25.0 / 3)
    expected = 7700.0 * 0.004 * 460.0 / (2 * through) * np.log(990.0 / 30.0)
    assert large.seconds(500.0) == pytest.approx(float(expected), rel=1e-3)


@given(st.floats(1.0, 8.0), st.floats(50.0, 5000.0), st.floats(1.05, 3.0))
def test_more_contact_is_quicker_and_more_steel_slower(thickness: float, conductance: float, more: float) -> None:
    quench = dataclasses.replace(BLADE, thickness=thickness)
    thick = dataclasses.replace(quench, thickness=thickness * more)
    assert quench.seconds(conductance * more) < quench.seconds(conductance) < thick.seconds(conductance)


def test_a_range_of_times_from_the_range_of_contacts() -> None:
    low, high = CONDUCTANCES
    assert BLADE.seconds_range == (BLADE.seconds(high), BLADE.seconds(low))
    assert BLADE.seconds_range[0] < BLADE.seconds_range[1]


def test_plates_too_thin_are_refused_with_the_thickness_that_will_do() -> None:
    thin = dataclasses.replace(BLADE, plates=dataclasses.replace(PAIR, thickness=10.0))
    assert not thin.ends
    with pytest.raises(ParameterError, match=r"be more than 21\.1"):
        thin.seconds(500.0)
    enough = dataclasses.replace(BLADE, plates=dataclasses.replace(PAIR, thickness=21.2))
    assert enough.ends
    assert enough.seconds(500.0) > BLADE.seconds(500.0)


def test_a_blade_is_not_quenched_upwards() -> None:
    with pytest.raises(ParameterError, match="be less than 45 C"):
        dataclasses.replace(BLADE, start_c=45.0)
    with pytest.raises(ParameterError, match="mass_kg"):
        dataclasses.replace(BLADE, mass_kg=0.0)

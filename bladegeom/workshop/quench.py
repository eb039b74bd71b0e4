"""Quenching between cold plates: what the plates take up, and how long a blade needs down to hand-warm.

Only for plates. How fast air or an oil cools depends on things that no drawing knows, and no time is told for them.
"""

from __future__ import annotations

from typing import Annotated, Final

import numpy as np

from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Between, InUnit, Length, Positive
from bladegeom.quantities.shown import oven_temperature
from bladegeom.quantities.steel_heat import COLDEST_C, HOTTEST_C, enthalpy
from bladegeom.quantities.units import show_length

QuenchC = Annotated[float, Between(COLDEST_C, HOTTEST_C), InUnit("C")]

HAND_WARM_C: Final = 50.0
"""A blade this warm can be held in the hand. Source: common practice; sheets of A2 and D2 stop at 50 to 65 C."""

CONDUCTANCES: Final = (100.0, 1000.0)
"""Least and greatest conductance of a dry contact under moderate pressure, W/(m2 K).

Source: overview of thermal couplings, knowledge base of the Dutch society for precision engineering (dspe.nl),
low: how flat and how hard the plates press, and a foil between, decide.
"""

PLATE_DENSITY: Final = 2700.0
PLATE_HEAT: Final = 896.0
"""Of aluminium 6061, kg/m3 and J/(kg K). Source: four public data pages agree."""

_MM: Final = 1e-3
_PLACES: Final = 2001
"""Temperatures at which the time is summed; twice as many change it by less than 1e-4."""


@declared("quench plates", example="Plates(length=300, width=150)")
class Plates:
    """A pair of aluminium plates.

    Args:
        length: Of each, mm.
        width: Of each, mm.
        thickness: Of each, mm.
        celsius: Before the quench, C.

    >>> Plates(length=300.0, width=150.0).thickness
    25.0
    """

    length: Length
    width: Length
    thickness: Length = 25.0
    celsius: Annotated[float, Between(-60, 49), InUnit("C")] = 20.0

    @property
    def mass_kg(self) -> float:
        """Of both."""
        return 2 * self.length * self.width * self.thickness * _MM**3 * PLATE_DENSITY

    @property
    def heat_capacity(self) -> float:
        """Of both, J/K."""
        return self.mass_kg * PLATE_HEAT

    @property
    def words(self) -> str:
        """Size of one."""
        return f"{show_length(self.length)} by {show_length(self.width)}, {show_length(self.thickness)} thick"


@declared("plate quench")
class PlateQuench:
    """A blade between two plates.

    The blade is taken as even in temperature through its thickness, with a third of its half thickness as a further
    resistance; the tests hold that against the equation of heat solved through the thickness. Losses to the air, and
    to clamps, are left out: the plates then end warmer than they will.

    Args:
        mass_kg: Of the blade at this stage.
        thickness: Where it lies between the plates, mm.
        start_c: When the plates close, C.
        plates: The pair.
        specific_heat: Of the steel as a constant, J/(kg K).
        conductivity: Of the steel, W/(m K).
        density: Of the steel, kg/m3.
        end_c: Where the quench is over, C.
    """

    mass_kg: Positive
    thickness: Length
    start_c: QuenchC
    plates: Plates
    specific_heat: Positive
    conductivity: Positive
    density: Positive
    end_c: QuenchC = HAND_WARM_C

    def __post_init__(self) -> None:
        if not self.end_c < self.start_c:
            raise ParameterError("plate quench: end_c", f"{self.end_c:g} C", f"be less than {self.start_c:g} C")

    @property
    def rise_constant(self) -> float:
        """Mean warming of the plates by the constant specific heat, K: too little by a third and more."""
        return self.mass_kg * self.specific_heat * (self.start_c - self.end_c) / self.plates.heat_capacity

    @property
    def rise(self) -> float:
        """Mean warming of the plates by the enthalpy of EN 1993-1-2, K."""
        return self.mass_kg * (enthalpy(self.start_c) - enthalpy(self.end_c)) / self.plates.heat_capacity

    @property
    def ends(self) -> bool:
        """Whether the plates stay cooler than the blade is to be, so that it ever gets there."""
        return self.plates.celsius + self.rise < self.end_c

    @property
    def thicker_words(self) -> str:
        """How thick plates must be so that it does."""
        least = self.plates.thickness * self.rise / (self.end_c - self.plates.celsius)
        end = oven_temperature(self.end_c)
        return f"be more than {show_length(least)} so that they end below {end}; or cool them first"

    def biot(self, conductance: float) -> float:
        """Resistance of half the thickness over that of the contact: below 0.1 the blade cools as one."""
        return conductance * self.thickness / 2 * _MM / self.conductivity

    def seconds(self, conductance: float) -> float:
        """Time from closing the plates until the blade has the end's temperature.

        Args:
            conductance: Of each contact, W/(m2 K).

        Raises:
            ParameterError: The plates end as warm as the blade is to be, so that it never gets there.
        """
        if not self.ends:
            raise ParameterError("quench plates: thickness", show_length(self.plates.thickness), self.thicker_words)
        # Time is summed over what the steel gives off, not over temperature: the peak of the specific heat at 735 C
        # is then no peak. Towards the end of even heat steps the temperatures lie close enough.
        celsius = np.linspace(self.end_c, self.start_c, _PLACES)
        heat = np.array([enthalpy(temperature) for temperature in celsius.tolist()])
        given = self.mass_kg * (heat[-1] - heat)
        ahead = celsius - (self.plates.celsius + given / self.plates.heat_capacity)
        slow = self.density * self.thickness * _MM / (2 * self._through(conductance)) / ahead
        return float(np.sum((slow[1:] + slow[:-1]) / 2 * np.diff(heat)))

    def _through(self, conductance: float) -> float:
        """From the middle of the blade to the plate, W/(m2 K): right to the first order in Biot."""
        return conductance / (1 + self.biot(conductance) / 3)

    @property
    def seconds_range(self) -> tuple[float, float]:
        """Shortest and longest time, by the greatest and the least conductance."""
        low, high = CONDUCTANCES
        return self.seconds(high), self.seconds(low)

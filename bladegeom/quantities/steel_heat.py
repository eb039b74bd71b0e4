"""What heat a steel takes and how it conducts, by the formulas of EN 1993-1-2 for carbon steel that is heated slowly.

In a quench the heat of transformation comes out later and is less, and alloyed steels differ: an estimate.
"""

from __future__ import annotations

import math
from typing import Final

from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.shown import oven_temperature

SOURCE: Final = "EN 1993-1-2:2005 3.4.1, formulas for carbon steel heated slowly"

COLDEST_C: Final = 20.0
HOTTEST_C: Final = 1200.0
"""The formulas hold from the one to the other, C. Source: EN 1993-1-2:2005 3.4.1."""


def specific_heat(celsius: float) -> float:
    """J/(kg K) at a temperature.

    Raises:
        ParameterError: Outside the formulas, 20 to 1200 C.
    """
    t = _inside(celsius)
    if t < 600:
        return 425 + 7.73e-1 * t - 1.69e-3 * t**2 + 2.22e-6 * t**3
    if t < 735:
        return 666 + 13002 / (738 - t)
    return 545 + 17820 / (t - 731) if t < 900 else 650.0


def enthalpy(celsius: float) -> float:
    """Heat between 20 C and a temperature, J/kg: the integral of the specific heat in closed form.

    Raises:
        ParameterError: Outside the formulas, 20 to 1200 C.
    """
    t = _inside(celsius)
    total = _polynomial(min(t, 600.0)) - _polynomial(COLDEST_C)
    if t > 600:
        total += 666 * (min(t, 735.0) - 600) + 13002 * math.log(138 / (738 - min(t, 735.0)))
    if t > 735:
        total += 545 * (min(t, 900.0) - 735) + 17820 * math.log((min(t, 900.0) - 731) / 4)
    return total + 650 * max(t - 900, 0.0)


def conductivity(celsius: float) -> float:
    """W/(m K) at a temperature.

    Raises:
        ParameterError: Outside the formulas, 20 to 1200 C.
    """
    t = _inside(celsius)
    return 54 - 3.33e-2 * t if t < 800 else 27.3


def _polynomial(t: float) -> float:
    return 425 * t + 7.73e-1 * t**2 / 2 - 1.69e-3 * t**3 / 3 + 2.22e-6 * t**4 / 4


def _inside(celsius: float) -> float:
    if not COLDEST_C <= celsius <= HOTTEST_C:
        must = f"lie where the formulas hold, {oven_temperature(COLDEST_C)} to {oven_temperature(HOTTEST_C)}"
        raise ParameterError("temperature of the steel", oven_temperature(celsius).text, must)
    return celsius

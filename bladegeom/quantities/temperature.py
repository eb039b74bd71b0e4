"""Temperatures in both scales side by side, and differences of temperature, which know no 32."""

from __future__ import annotations

import re
from typing import Final

_PER_KELVIN: Final = 1.8
_ICE_F: Final = 32.0
"""Source: exact by definition of the scales (NIST SP 811)."""

_TEMPERATURES: Final = re.compile(r"\b(?:(?P<low>\d+)(?P<joint> ?- ?| to | and ))?(?P<high>\d+) C\b")


def fahrenheit(celsius: float) -> float:
    """A temperature on the other scale.

    >>> fahrenheit(100.0)
    212.0
    """
    return celsius * _PER_KELVIN + _ICE_F


def fahrenheit_difference(kelvin: float) -> float:
    """A difference of temperatures on the other scale: no 32 is added.

    >>> fahrenheit_difference(10.0)
    18.0
    """
    return kelvin * _PER_KELVIN


def show_temperature(celsius: float) -> str:
    """A temperature in whole degrees of both scales.

    >>> show_temperature(1035.0)
    '1035 C (1895 F)'
    """
    return f"{celsius:.0f} C ({fahrenheit(celsius):.0f} F)"


def show_temperatures(low: float, high: float) -> str:
    """A range of temperatures in both scales; one where both ends read alike.

    >>> show_temperatures(1010.0, 1060.0)
    '1010 to 1060 C (1850 to 1940 F)'
    """
    if f"{low:.0f}" == f"{high:.0f}":
        return show_temperature(low)
    return f"{low:.0f} to {high:.0f} C ({fahrenheit(low):.0f} to {fahrenheit(high):.0f} F)"


def both_scales(text: str) -> str:
    """A text with its temperatures in both scales: a number, or two joined by a word, before a C that stands alone.

    >>> both_scales("oil at 65 C; temper at 150 to 200 C; 0.40 % C")
    'oil at 65 C (149 F); temper at 150 to 200 C (302 to 392 F); 0.40 % C'
    """
    return _TEMPERATURES.sub(lambda found: f"{found[0]} ({_other_scale(found)})", text)


def _other_scale(found: re.Match[str]) -> str:
    if found["low"] is None:
        return f"{fahrenheit(float(found['high'])):.0f} F"
    return f"{fahrenheit(float(found['low'])):.0f}{found['joint']}{fahrenheit(float(found['high'])):.0f} F"


def show_difference(kelvin: float) -> str:
    """A difference of temperatures in both scales.

    >>> show_difference(16.23)
    '16.2 K (29.2 F)'
    """
    return f"{kelvin:.1f} K ({fahrenheit_difference(kelvin):.1f} F)"

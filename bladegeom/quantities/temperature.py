"""Temperatures in both scales side by side, and differences of temperature, which know no 32."""

from __future__ import annotations

import re
from typing import Final

from bladegeom.quantities.unit_order import in_order

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


def both_scales(text: str) -> str:
    """A text with its temperatures in both scales: a number, or two joined by a word, before a C that stands alone.

    Fahrenheit stands first where inches do.

    >>> both_scales("oil at 65 C; temper at 150 to 200 C; 0.40 % C")
    'oil at 65 C (149 F); temper at 150 to 200 C (302 to 392 F); 0.40 % C'
    """
    return _TEMPERATURES.sub(lambda found: in_order(found[0], _other_scale(found)), text)


def _other_scale(found: re.Match[str]) -> str:
    if found["low"] is None:
        return f"{fahrenheit(float(found['high'])):.0f} F"
    return f"{fahrenheit(float(found['low'])):.0f}{found['joint']}{fahrenheit(float(found['high'])):.0f} F"


def show_difference(kelvin: float) -> str:
    """A difference of temperatures in both scales.

    >>> show_difference(16.23)
    '16.2 K (29.2 F)'
    """
    return in_order(f"{kelvin:.1f} K", f"{fahrenheit_difference(kelvin):.1f} F")

"""Lengths and masses as a customer reads them: as fine as a rule or a kitchen scale tells, and no finer.

A size of the design is rounded: a length of 10 mm and more to whole or half millimetres (hundredths of an inch), a
thinner one to tenths, below one to hundredths (thousandths of an inch); a mass to whole grams, below 20 g to tenths.
What somebody asked for is never rounded in the unit it was asked in. Noughts at the end are left out, and what is a
64th of an inch is told as that fraction. Own choice: hand work is promised within 1.5 mm, and a rule tells half a
millimetre.
"""

from __future__ import annotations

from typing import Final

from bladegeom.quantities.shown import Shown, bare, both_units, rounded_mass
from bladegeom.quantities.unit_order import in_order
from bladegeom.quantities.units import show_inches, show_mm

_RULED: Final = 10.0
"""From here on lengths are told as a rule tells them, mm."""


def rounded_length(mm: float) -> float:
    """A length as fine as a customer reads it, mm.

    >>> rounded_length(75.59), rounded_length(2.03), rounded_length(0.204)
    (75.5, 2.0, 0.2)
    """
    if abs(mm) >= _RULED:
        return round(2 * mm) / 2
    return round(mm, 1 if abs(mm) >= 1 else 2)


def customer_length(mm: float) -> str:
    """A size of the design in both units, rounded, for running text.

    >>> customer_length(150.0), customer_length(75.59), customer_length(3.96875), customer_length(0.2)
    ('150 mm (5.91 in)', '75.5 mm (2.98 in)', '4 mm (5/32 in)', '0.2 mm (0.008 in)')
    """
    return customer_size(mm).text


def customer_size(mm: float) -> Shown:
    """A size of the design, rounded.

    >>> customer_size(150.0).second
    '5.91 in'
    """
    return both_units(f"{bare(f'{rounded_length(mm):z.2f}')} mm", f"{_inches(mm)} in")


def customer_mass(grams: float) -> str:
    """A mass, rounded.

    >>> customer_mass(85.53)
    '86 g'
    """
    return f"{bare(f'{rounded_mass(grams):z.1f}')} g"


def asked_length(mm: float) -> str:
    """A length that somebody named, with all its digits in the unit that it was named in.

    >>> asked_length(104.775), asked_length(1.0)
    ('104.775 mm (4-1/8 in)', '1 mm (0.039 in)')
    """
    return in_order(f"{bare(show_mm(mm))} mm", f"{_asked_inches(mm)} in")


def asked_lengths(low: float, high: float) -> str:
    """From a length that somebody named to another.

    >>> asked_lengths(72.0, 82.0)
    '72 to 82 mm (2.83 to 3.23 in)'
    """
    mm = f"{bare(show_mm(low))} to {bare(show_mm(high))} mm"
    return in_order(mm, f"{_asked_inches(low)} to {_asked_inches(high)} in")


def asked_mass(grams: float) -> str:
    """A mass that somebody named.

    >>> asked_mass(90.0), asked_mass(1.75)
    ('90 g', '1.75 g')
    """
    return f"{bare(f'{grams:.2f}')} g"


def _inches(mm: float) -> str:
    told = show_inches(mm)
    if "." not in told:
        return told
    return bare(f"{mm / 25.4:z.{2 if abs(mm) >= _RULED else 3}f}")


def _asked_inches(mm: float) -> str:
    """Rounded where the millimetres are what was named."""
    return _inches(mm) if bare(show_mm(mm)) == f"{mm:.1f}".removesuffix(".0") else bare(show_inches(mm))

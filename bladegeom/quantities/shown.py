"""How each kind of number is shown: as fine as the tool that tells it, in both units, the one told first in front.

A kind is named after what the number is read from or set on. No number has a digit that its tool does not tell.

Source:
    What each tool tells: common practice, no source. Halves go to the even digit, as in charts: 1/16 in is 0.062 in.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from bladegeom.quantities.drills import Drill
from bladegeom.quantities.mixed_numbers import mixed
from bladegeom.quantities.nearest import exact, to_step
from bladegeom.quantities.temperature import fahrenheit
from bladegeom.quantities.unit_order import first_unit
from bladegeom.quantities.units import MM_PER_INCH, show_inches, show_mm

_OUNCE: Final = 28.349523125
"""Grams. Source: exact by definition, the avoirdupois pound of 1959 (NIST SP 811)."""

_RULE: Final = 152.4
"""A rule of 6 in has 64ths, mm; what is longer is read from a tape. Source: common practice, no source."""

_NEAR: Final = 10.0
"""A line so near to the edge that it is scribed from is set on calipers, mm; farther off along a rule. Own choice."""

_WEIGHED: Final = 20.0
"""From here on a kitchen scale is read, g; below, one for letters."""

_SAME: Final = Fraction(1, 10**5)
"""Lengths that differ by less are one, mm: what is left of sums of floats and of the fine chords of a curve."""


@dataclass(frozen=True, kw_only=True)
class Shown:
    """A number in words.

    Args:
        first: In the unit that is told first.
        second: In the other one; empty where there is none.

    >>> Shown(first="4.00 mm", second="0.157 in").text
    '4.00 mm (0.157 in)'
    """

    first: str
    second: str = ""

    @property
    def text(self) -> str:
        """Both, for running text."""
        return f"{self.first} ({self.second})" if self.second else self.first

    def __str__(self) -> str:
        return self.text


def both_units(metric: str, customary: str) -> Shown:
    """A number in words of either unit, the one that is told first in front.

    >>> both_units("35 N m", "26 ft lb").text
    '35 N m (26 ft lb)'
    """
    both = (metric, customary) if first_unit() == "mm" else (customary, metric)
    return Shown(first=both[0], second=both[1])


def from_to(low: Shown, high: Shown) -> Shown:
    """From one number of a kind to another; one of them where both read alike.

    >>> from_to(caliper_length(0.3), caliper_length(0.5)).text
    '0.30 to 0.50 mm (0.012 to 0.020 in)'
    """
    return Shown(first=_joined(low.first, high.first), second=_joined(low.second, high.second))


def caliper_length(mm: float) -> Shown:
    """What calipers or a micrometer tell: hundredths of a mm, thousandths of an inch.

    A 64th of an inch keeps its third decimal in mm, which tells it from the size beside it; see
    :func:`~bladegeom.quantities.units.show_mm`.

    Raises:
        QuantityError: ``mm`` is not finite.

    >>> caliper_length(4.0).text, caliper_length(3.175).text
    ('4.00 mm (0.157 in)', '3.175 mm (0.125 in)')
    """
    thousandths = to_step(mm, MM_PER_INCH / 1000) / MM_PER_INCH
    # Less than a thousandth is told by a micrometer alone, as show_inches() tells it.
    inches = f"{float(thousandths):.3f}" if thousandths or not mm else show_inches(mm)
    return both_units(f"{show_mm(mm)} mm", f"{inches} in")


def sawn_length(mm: float) -> Shown:
    """To what a rod is sawn, which may end long and is ground flush, but never short: as calipers tell it, upwards.

    Raises:
        QuantityError: ``mm`` is not finite.

    >>> sawn_length(21.5).text, sawn_length(21.501).text
    ('21.50 mm (0.847 in)', '21.51 mm (0.847 in)')
    """
    least = exact(mm) - _SAME
    told = show_mm(mm)
    # Half a hundredth keeps its third decimal, as in show_mm().
    metric = told if Fraction(told) >= least else f"{math.ceil(100 * least) / 100:.2f}"
    return both_units(f"{metric} mm", f"{math.ceil(1000 * least / MM_PER_INCH) / 1000:.3f} in")


def rule_length(mm: float) -> Shown:
    """What a rule or a tape tells: half mm; 64ths of an inch, 32nds where it is longer than a rule.

    Raises:
        QuantityError: ``mm`` is not finite.

    >>> rule_length(104.83).text, rule_length(9.525).text, rule_length(262.04).text
    ('105 mm (4-1/8 in)', '9.5 mm (3/8 in)', '262 mm (10-5/16 in)')
    """
    marks = 64 if abs(mm) <= _RULE else 32
    return both_units(
        f"{_decimal(to_step(mm, Fraction(1, 2)))} mm",
        f"{_fraction(to_step(mm, MM_PER_INCH / marks))} in",
    )


def scribed_length(mm: float) -> Shown:
    """Where a line is scribed or a centre is punched: 0.05 mm (0.001 in) near its edge, else 0.1 mm (0.005 in).

    Raises:
        QuantityError: ``mm`` is not finite.

    >>> scribed_length(1.2075).text, scribed_length(18.37).text
    ('1.20 mm (0.048 in)', '18.4 mm (0.725 in)')
    >>> scribed_length(9.98).text
    '10.0 mm (0.395 in)'
    """
    near = abs(to_step(mm, Fraction(1, 20))) < _NEAR
    tenths = to_step(mm, Fraction(1, 20) if near else Fraction(1, 10))
    thousandths = to_step(mm, MM_PER_INCH / (1000 if near else 200)) / MM_PER_INCH
    return both_units(f"{float(tenths):z.{2 if near else 1}f} mm", f"{float(thousandths):z.3f} in")


def depth_stop(mm: float) -> Shown:
    """To what a depth stop is set, which stands on one of its divisions: tenths of a mm, hundredths where it has them.

    Raises:
        QuantityError: ``mm`` is not finite.

    >>> depth_stop(3.2).text, depth_stop(3.25).text
    ('3.2 mm (0.126 in)', '3.25 mm (0.128 in)')
    """
    hundredths = to_step(mm, Fraction(1, 100))
    digits = 1 if (hundredths * 10).denominator == 1 else 2
    thousandths = to_step(mm, MM_PER_INCH / 1000) / MM_PER_INCH
    return both_units(f"{float(hundredths):z.{digits}f} mm", f"{float(thousandths):z.3f} in")


def drill_size(drill: Drill) -> Shown:
    """A drill by the name on its shank, whichever unit is told first; a number or letter with its diameter in both.

    >>> from bladegeom.quantities.drills import drill
    >>> [drill_size(drill(name)).text for name in ("1/4", "6.5 mm", "#7")]
    ['1/4 in drill (6.35 mm)', '6.5 mm drill (0.256 in)', '#7 drill (5.11 mm, 0.201 in)']
    """
    if drill.series == "metric":
        return Shown(first=f"{drill.name} drill", second=f"{show_inches(drill.diameter)} in")
    if drill.series == "fraction":
        return Shown(first=f"{drill.name} in drill", second=f"{show_mm(drill.diameter)} mm")
    size = caliper_length(drill.diameter)
    return Shown(first=f"{drill.name} drill", second=f"{size.first}, {size.second}")


def sold_thickness(mm: float) -> Shown:
    """Of stock, as it is sold.

    Raises:
        QuantityError: ``mm`` is not finite.

    >>> sold_thickness(4.0).text, sold_thickness(3.175).text
    ('4 mm (0.157 in)', '3.175 mm (1/8 in)')
    """
    return both_units(f"{bare(show_mm(mm))} mm", f"{show_inches(mm)} in")


def room_to_buy(mm: float) -> Shown:
    """What something to buy or to fill must have at least: the next whole mm, and the next eighth of an inch.

    Raises:
        QuantityError: ``mm`` is not finite.

    >>> room_to_buy(263.04).text, room_to_buy(25.4).text
    ('264 mm (10-3/8 in)', '26 mm (1 in)')
    """
    least = exact(mm) - _SAME
    eighths = Fraction(math.ceil(least / MM_PER_INCH * 8), 8)
    return both_units(f"{math.ceil(least)} mm", f"{mixed(eighths) or '0'} in")


def balance_place(mm: float) -> Shown:
    """How far from a mark a knife balances on a finger: whole mm, sixteenths of an inch.

    Raises:
        QuantityError: ``mm`` is not finite.

    >>> balance_place(11.62).text
    '12 mm (7/16 in)'
    """
    return both_units(f"{_decimal(to_step(mm, Fraction(1)))} mm", f"{_fraction(to_step(mm, MM_PER_INCH / 16))} in")


def gauge_angle(degrees: float) -> Shown:
    """What an angle gauge or a jig tells: tenths of a degree.

    >>> gauge_angle(5.987).text, gauge_angle(3.04).text
    ('6 degrees', '3 degrees')
    """
    return Shown(first=f"{_decimal(to_step(degrees, Fraction(1, 10)))} degrees")


def hand_angle(degrees: float) -> Shown:
    """What a hand holds, on a stone or at a plunge line: half degrees.

    >>> hand_angle(14.8).text, hand_angle(17.5).text
    ('15 degrees', '17.5 degrees')
    """
    return Shown(first=f"{_decimal(to_step(degrees, Fraction(1, 2)))} degrees")


def scale_mass(grams: float) -> Shown:
    """What a scale tells: whole g, tenths below 20 g; where inches are told first in ounces too.

    >>> scale_mass(187.26).text, scale_mass(8.43).text
    ('187 g', '8.4 g')
    """
    digits = 1 if abs(grams) >= _WEIGHED else 2
    ounces = f"{grams / _OUNCE:z.{digits}f} oz" if first_unit() == "inch" else ""
    return Shown(first=f"{bare(f'{rounded_mass(grams):z.1f}')} g", second=ounces)


def rounded_mass(grams: float) -> float:
    """A mass as fine as a scale tells it, g.

    >>> rounded_mass(85.53), rounded_mass(12.34)
    (86.0, 12.3)
    """
    return round(grams, 0 if abs(grams) >= _WEIGHED else 1)


def oven_temperature(celsius: float) -> Shown:
    """Of a kiln, an oven or a quench: whole degrees of both scales, Fahrenheit first where inches are.

    >>> oven_temperature(1035.0).text
    '1035 C (1895 F)'
    """
    return both_units(f"{celsius:.0f} C", f"{fahrenheit(celsius):.0f} F")


def oven_range(low: float, high: float) -> Shown:
    """From one temperature to another, C; one of them where both read alike.

    >>> oven_range(1010.0, 1060.0).text
    '1010 to 1060 C (1850 to 1940 F)'
    """
    first, last = oven_temperature(low), oven_temperature(high)
    return first if f"{low:.0f}" == f"{high:.0f}" else from_to(first, last)


def bare(number: str) -> str:
    """A number in words without noughts behind its point.

    >>> bare("150.00"), bare("0.50"), bare("3/16"), bare("100")
    ('150', '0.5', '3/16', '100')
    """
    return number.rstrip("0").rstrip(".") if "." in number else number


def _decimal(value: Fraction) -> str:
    return bare(f"{float(value):z.2f}")


def _fraction(mm: Fraction) -> str:
    return mixed(mm / MM_PER_INCH) or "0"


def _joined(low: str, high: str) -> str:
    return low if low == high else f"{low.rpartition(' ')[0]} to {high}"

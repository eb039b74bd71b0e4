"""Shop lengths: read from text exactly, shown in mm and inch side by side, the maker's own unit first."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Final

from bladegeom.quantities.errors import QuantityError
from bladegeom.quantities.mixed_numbers import mixed
from bladegeom.quantities.plain_lengths import is_plain
from bladegeom.quantities.told import told
from bladegeom.quantities.unit_order import first_unit, in_order

MM_PER_INCH: Final = Fraction(254, 10)
"""Source: exact by definition, the international inch of 1959 (NIST SP 811)."""

_UNITS: Final = {
    "": Fraction(1),
    "mm": Fraction(1),
    "cm": Fraction(10),
    "in": MM_PER_INCH,
    "inch": MM_PER_INCH,
    "inches": MM_PER_INCH,
    '"': MM_PER_INCH,
    "thou": MM_PER_INCH / 1000,
}

# Characters that word processors and phones put in place of what is on a keyboard.
_PLAIN: Final = str.maketrans(
    {
        "¼": " 1/4",
        "½": " 1/2",
        "¾": " 3/4",
        "⅛": " 1/8",
        "⅜": " 3/8",
        "⅝": " 5/8",
        "⅞": " 7/8",
        "\N{FRACTION SLASH}": "/",
        "\N{MINUS SIGN}": "-",
        "\N{DOUBLE PRIME}": '"',
        "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
    }
)

_PARTS: Final = re.compile(r"([-+]?)\s*([-./\s0-9]*)(.*)", re.DOTALL)
# At most 40 digits: enough for every float written in full, and too few to overflow one.
_DECIMAL: Final = re.compile(r"[0-9]{1,40}(?:\.[0-9]{1,40})?|\.[0-9]{1,40}")
_FRACTION: Final = re.compile(r"(?:([0-9]{1,40})(?:-\s?|\s+))?([0-9]{1,40})/([0-9]{1,40})")

_SAME: Final = Fraction(1, 10**5)
"""Lengths that differ by less are one, mm: what is left of sums of floats and of the fine chords of a curve."""

_HALF: Final = Fraction(5, 1000)
"""Half of the last digit shown in mm."""


def length(text: str | float) -> float:
    """A length in mm, from a number in mm or from text as it is said in the shop.

    Text is read as an exact fraction, so the result is the float nearest to what was written. A bare number
    is mm; a bare fraction is refused, because whoever writes 3/16 means inch.

    Args:
        text: ``"3/16 in"``, ``'1-1/4"'``, ``"1 1/4 in"``, ``"1¼ in"``, ``".030 in"``, ``"12 thou"``,
            ``"4 mm"``, ``"1.2 cm"``, ``"4"``, each with a sign if need be; or a number.

    Raises:
        QuantityError: It is not one of these, or not finite.

    >>> length("1-1/4 in"), length("12 thou"), length(4)
    (31.75, 0.3048, 4.0)
    """
    if not isinstance(text, str):
        return _float(text, text)
    number, unit = _split(text)
    if unit not in _UNITS:
        known = ", ".join(name for name in _UNITS if name)
        raise QuantityError(text, f"the unit {told(unit)} is none of {known}")
    if not unit and "/" in text.translate(_PLAIN):
        raise QuantityError(text, "a fraction must name its unit")
    return _float(text, number * _UNITS[unit])


def inch(value: float | str) -> float:
    """A number or a fraction of inches, in mm.

    A float is taken as it is written, so ``inch(0.030)`` is the same as ``length("0.030 in")``.

    Raises:
        QuantityError: No finite number, or a text that names a unit.

    >>> inch("3/16"), inch(0.25)
    (4.7625, 6.35)
    """
    if not isinstance(value, str):
        return _float(value, Fraction(repr(_float(value, value))) * MM_PER_INCH)
    number, unit = _split(value)
    if unit:
        raise QuantityError(value, "inch() takes the number alone, without a unit")
    return _float(value, number * MM_PER_INCH)


def show_length(mm: float) -> str:
    """A length in mm and in inch; :func:`show_mm` and :func:`show_inches` say with which digits.

    Raises:
        QuantityError: ``mm`` is not finite.

    >>> show_length(4.7625), show_length(4.76), show_length(0.01)
    ('4.762 mm (3/16 in)', '4.76 mm (0.187 in)', '0.010 mm (0.0004 in)')
    """
    return in_order(f"{show_mm(mm)} mm", f"{show_inches(mm)} in")


def show_fine(mm: float) -> str:
    """A length that was asked for, also where it is finer than :func:`show_length` tells what was measured.

    >>> show_fine(0.02), show_fine(0.003), show_fine(0.0025)
    ('0.020 mm (0.0008 in)', '0.003 mm (0.00012 in)', '0.0025 mm (0.00010 in)')
    """
    if abs(mm) >= _HALF:
        return show_length(mm)
    return in_order(f"{f'{mm:.4f}'.rstrip('0')} mm", f"{mm / float(MM_PER_INCH):.5f} in")


def show_both(mm: float) -> str:
    """The same in a table whose head names the units.

    >>> show_both(3.175)
    '3.175 (1/8)'
    """
    return in_order(show_mm(mm), show_inches(mm))


def show_units() -> str:
    """The units of :func:`show_both`, for the head of its table, in which other columns may hold mm alone.

    >>> show_units()
    'mm (in)'
    """
    return "mm (in)" if first_unit() == "mm" else "inch (mm); single numbers mm"


def show_range(low: float, high: float) -> str:
    """From a length to another.

    >>> show_range(0.3, 0.5)
    '0.30 to 0.50 mm (0.012 to 0.020 in)'
    """
    return in_order(f"{show_mm(low)} to {show_mm(high)} mm", f"{show_inches(low)} to {show_inches(high)} in")


def show_mm(mm: float, *, sign: bool = False) -> str:
    """The number of mm alone: two decimals, as calipers show it; three where two would name another size.

    That is a 64th of an inch, or what ends on half a hundredth: who reads 3.18 looks for another drill than 1/8 in.

    Args:
        mm: The length.
        sign: Whether it is a shift, told with its + too.

    Raises:
        QuantityError: ``mm`` is not finite.

    >>> show_mm(3.175), show_mm(3.18), show_mm(1.5875), show_mm(6.35), show_mm(4, sign=True)
    ('3.175', '3.18', '1.588', '6.35', '+4.00')
    """
    if is_plain(value := length(mm)):
        return f"{value:{'+' if sign else ''}z.2f}"
    exact, fraction = _exact(value)
    thousandths = round(exact * 1000)
    whole = abs(exact * 1000 - thousandths) <= 1000 * _SAME
    if (fraction and thousandths % 10) or (whole and thousandths % 10 == 5) or _tiny(exact):
        exact, digits = Fraction(thousandths, 1000), 3
    else:
        digits = 2
    return f"{float(exact):{'+' if sign else ''}z.{digits}f}"


def show_inches(mm: float) -> str:
    """The number of inches alone: the fraction where it is a 64th, else three decimals; of two the even one.

    Raises:
        QuantityError: ``mm`` is not finite.

    >>> show_inches(3.175), show_inches(3.18), show_inches(3.2639)
    ('1/8', '0.125', '0.128')
    """
    if is_plain(value := length(mm), inches=True):
        return f"{value / float(MM_PER_INCH):z.3f}"
    exact, fraction = _exact(value)
    digits = 4 if _tiny(exact) else 3
    return mixed(fraction) if fraction else f"{float(round(exact / MM_PER_INCH, digits)):z.{digits}f}"


def show_place(x: float, y: float) -> str:
    """A place of the drawing, mm.

    >>> show_place(-45.125, 3.1)
    '(-45.125, 3.10)'
    """
    return f"({show_mm(x)}, {show_mm(y)})"


def show_size(width: float, height: float) -> str:
    """How long and how high something is.

    >>> show_size(223.04, 31.75)
    '223.04 x 31.75 mm (8.781 x 1-1/4 in)'
    """
    return in_order(f"{show_mm(width)} x {show_mm(height)} mm", f"{show_inches(width)} x {show_inches(height)} in")


def show_parameter(value: object) -> str:
    """A value that a script is called with, whose unit nobody told: as it is, but a fraction of an inch as one.

    >>> show_parameter(4.7625), show_parameter(110.0), show_parameter("1084")
    ('4.762 mm (3/16 in)', '110.0', '1084')
    """
    if not isinstance(value, float) or not math.isfinite(value):
        return str(value)
    exact, fraction = _exact(value)
    # What two decimals tell may as well be a number of degrees.
    return show_length(value) if fraction and (exact * 100).denominator != 1 else str(value)


def show_mass(grams: float, *, sign: bool = False) -> str:
    """A mass; hundredths of a gram below one gram.

    >>> show_mass(187.26), show_mass(0.126), show_mass(-3, sign=True)
    ('187.3 g', '0.13 g', '-3.0 g')
    """
    return f"{grams:{'+' if sign else ''}z.{2 if 0.005 <= abs(grams) < 0.995 else 1}f} g"


def show_angle(degrees: float) -> str:
    """The number of degrees alone, hundredths at most.

    >>> show_angle(5.987), show_angle(20.0), show_angle(-0.001)
    ('5.99', '20', '0')
    """
    return f"{degrees:z.2f}".rstrip("0").rstrip(".")


def _exact(mm: float) -> tuple[Fraction, Fraction | None]:
    """The length, mm, and how many inches it is, if that is a fraction that a rule has."""
    exact = Fraction(length(mm)).limit_denominator(10**6)
    nearest = Fraction(round(exact / MM_PER_INCH * 64), 64)
    if nearest and abs(exact - nearest * MM_PER_INCH) <= _SAME:
        return nearest * MM_PER_INCH, nearest
    return exact, None


def _tiny(exact: Fraction) -> bool:
    """Whether the usual decimals would show next to nothing; half of the last one is nothing."""
    return _HALF <= abs(exact) < MM_PER_INCH / 1000


def _split(text: str) -> tuple[Fraction, str]:
    """The signed number and the unit's lower-case name, empty if there is none."""
    plain = text.translate(_PLAIN).strip().lower()
    if not plain:
        raise QuantityError(text, "it is empty")
    if "," in plain:
        raise QuantityError(text, "use a decimal point, not a comma")
    sign, digits, unit = _PARTS.fullmatch(plain).groups()  # type: ignore[union-attr]  # every text matches
    number = _number(text, digits.strip())
    return (-number if sign == "-" else number), unit


def _number(text: str, digits: str) -> Fraction:
    """A decimal, a fraction or a mixed number, without sign."""
    if _DECIMAL.fullmatch(digits):
        return Fraction(digits)
    fraction = _FRACTION.fullmatch(digits)
    if fraction is None:
        raise QuantityError(text, f"{told(digits)} is no number" if digits else "it does not begin with a number")
    whole, top, bottom = (int(group or 0) for group in fraction.groups())
    if bottom == 0:
        raise QuantityError(text, "a fraction cannot have 0 below the line")
    if fraction[1] and top >= bottom:
        raise QuantityError(text, f"after a whole number, {top}/{bottom} must be less than 1")
    return whole + Fraction(top, bottom)


def _float(text: object, value: float | Fraction) -> float:
    """The finite float nearest to ``value``; ``text`` is what the maker wrote."""
    if isinstance(text, bool):
        raise QuantityError(text, "it is a yes or no, not a number")
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    except TypeError:
        raise QuantityError(text, "it is neither a text nor a number") from None
    if not math.isfinite(number):
        raise QuantityError(text, "it is not finite")
    return number + 0.0  # turns -0.0 into 0.0

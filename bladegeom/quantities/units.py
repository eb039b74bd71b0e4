"""Shop lengths: read from text exactly, shown in mm and inch side by side."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Final

from bladegeom.quantities.errors import QuantityError

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

# A length this close to a multiple of 1/64 in is meant as one: half of the last digit shown in mm.
_SHOWN_AS_FRACTION: Final = Fraction(5, 1000)


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
        raise QuantityError(text, f"the unit {unit!r} is none of {known}")
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
    """A length in mm and in inch; as a fraction of an inch where it is one of 64ths within 0.005 mm.

    Raises:
        QuantityError: ``mm`` is not finite.

    >>> show_length(4.7625), show_length(0.762), show_length(0.01)
    ('4.76 mm (3/16 in)', '0.76 mm (0.030 in)', '0.010 mm (0.0004 in)')
    """
    exact = Fraction(length(mm))
    inches = exact / MM_PER_INCH
    nearest = Fraction(round(inches * 64), 64)
    is_fraction = nearest != 0 and abs(exact - nearest * MM_PER_INCH) <= _SHOWN_AS_FRACTION
    # One digit more where the usual ones would show next to nothing, and nothing below half of the last.
    more = 1 if _SHOWN_AS_FRACTION <= abs(exact) < MM_PER_INCH / 1000 else 0
    shown = _mixed(nearest) if is_fraction else f"{float(inches):z.{3 + more}f}"
    return f"{float(exact):z.{2 + more}f} mm ({shown} in)"


def _mixed(value: Fraction) -> str:
    """``-1-1/4``, ``3/16`` or ``2``."""
    whole, rest = divmod(abs(value), 1)
    parts = [str(part) for part in (whole, rest) if part]
    return ("-" if value < 0 else "") + "-".join(parts)


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
        raise QuantityError(text, f"{digits!r} is no number" if digits else "it does not begin with a number")
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

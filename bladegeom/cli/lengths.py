"""Lengths on the command line, refused with the name of their option."""

from __future__ import annotations

from bladegeom.quantities.errors import ParameterError, QuantityError
from bladegeom.quantities.units import length


def length_of(option: str, text: str) -> float:
    """A length, mm.

    Raises:
        ParameterError: The text is none; the option is named.
    """
    try:
        return length(text)
    except QuantityError as error:
        must = f"be a length such as '4 mm', '3/16 in': {error.reason}"
        raise ParameterError(option, repr(text), must) from error

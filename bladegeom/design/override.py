"""Reading one NAME=VALUE of the command line as the kind of value that the design's parameter has."""

from __future__ import annotations

import inspect
import math
import typing
from collections.abc import Mapping
from typing import Literal

from bladegeom.quantities.errors import ParameterError, QuantityError
from bladegeom.quantities.units import length

_ANSWERS = {"yes": True, "true": True, "no": False, "false": False}

_NO_LENGTH = ("_deg", "_g", "_g_cm3", "_c", "_hrc")
"""Endings of the names of angles, masses, densities, temperatures, hardnesses: no unit on the command line."""


def named_choices(parameter: inspect.Parameter) -> dict[str, object]:
    """What a parameter annotated with a ``Literal`` may be, by the words that a maker writes; nothing of any other."""
    known = typing.get_args(parameter.annotation) if typing.get_origin(parameter.annotation) is Literal else ()
    return {str(choice): choice for choice in known}


def is_count(parameter: inspect.Parameter) -> bool:
    """Whether a number that the design asks for is whole."""
    return parameter.annotation in (int, "int")


def is_length(parameter: inspect.Parameter) -> bool:
    """Whether a number that the design asks for may be written with a unit of length."""
    return not is_count(parameter) and not parameter.name.endswith(_NO_LENGTH)


def read_value(parameter: inspect.Parameter, text: str) -> object:
    """A value of the same kind as the parameter's annotation, or else as its default.

    Args:
        parameter: Of the design.
        text: What the maker wrote: a length may carry its unit.

    Raises:
        ParameterError: It cannot be read as that.
    """
    name, default = parameter.name, parameter.default
    if words := named_choices(parameter):
        return _word(name, text, words, f"be one of {', '.join(words)}")
    if isinstance(default, bool):
        return _word(name, text, _ANSWERS, "be yes or no")
    if isinstance(default, str):
        return text
    if not isinstance(default, int | float):
        must = "be set in the script; only numbers, texts and yes/no can be given on the command line"
        raise ParameterError(name, repr(text), must)
    return _read_number(parameter, text)


def _word(name: str, text: str, words: Mapping[str, object], must: str) -> object:
    for known in (text, text.lower()):
        if known in words:
            return words[known]
    raise ParameterError(name, repr(text), must)


def _read_number(parameter: inspect.Parameter, text: str) -> float:
    name = parameter.name
    if is_count(parameter):
        return _count(name, text)
    if not is_length(parameter):
        return _number(name, text)
    if isinstance(parameter.default, int) and parameter.annotation not in (float, "float") and text.isdecimal():
        # No annotation tells whether 2 is a count or a length; a whole number serves for both.
        return int(text)
    return _length(name, text)


def _count(name: str, text: str) -> int:
    try:
        return int(text)
    except ValueError:
        raise ParameterError(name, repr(text), "be a whole number without a unit") from None


def _number(name: str, text: str) -> float:
    must = "be a plain number: it is no length, its unit stands in its name"
    try:
        value = float(text)
    except ValueError:
        raise ParameterError(name, repr(text), must) from None
    if not math.isfinite(value):
        raise ParameterError(name, repr(text), must)
    return value


def _length(name: str, text: str) -> float:
    try:
        return length(text)
    except QuantityError as error:
        must = f"be a number or a length such as '4 mm', '3/16 in', '1-1/4 in', '0.030 in': {error.reason}"
        raise ParameterError(name, repr(text), must) from error

"""Reading NAME=VALUES of the command line: lists and ranges of what the design's parameter is."""

from __future__ import annotations

import inspect
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from bladegeom.design.override import read_value
from bladegeom.quantities.errors import ParameterError, UnknownNameError

_MOST = 100_000
"""A range gives no more values than this: more is a slip of the pen; own choice."""


def read_grid(parameters: Mapping[str, inspect.Parameter], texts: Sequence[str]) -> dict[str, tuple[object, ...]]:
    """The values of each parameter, in the order in which they are given.

    Args:
        parameters: Of the design.
        texts: "name=3,3.5,4" or "name=first:last:step" each; a length may carry its unit.

    Raises:
        UnknownNameError: A parameter that the design does not have.
        ParameterError: A value or a range that cannot be read, or a parameter that stands twice.
    """
    grid: dict[str, tuple[object, ...]] = {}
    for text in texts:
        name, separator, values = (part.strip() for part in text.partition("="))
        if not separator:
            raise ParameterError("parameter", repr(text), "be written NAME=VALUE,VALUE or NAME=FIRST:LAST:STEP")
        if name not in parameters:
            raise UnknownNameError("parameter", name, parameters)
        if name in grid:
            raise ParameterError(name, repr(values), "be given once, with all its values: 3,3.5,4")
        grid[name] = tuple(_values(parameters[name], values))
        if len(set(grid[name])) < len(grid[name]):
            raise ParameterError(name, repr(values), "name each value once")
    return grid


def _values(parameter: inspect.Parameter, text: str) -> Iterator[object]:
    for item in text.split(","):
        # A text or a yes/no has no range: a colon is a part of it.
        if ":" in item and isinstance(parameter.default, int | float) and not isinstance(parameter.default, bool):
            yield from _range(parameter, item)
        else:
            yield read_value(parameter, item.strip())


def _range(parameter: inspect.Parameter, text: str) -> Iterator[int | float]:
    """From the first by steps up to the last, which is met exactly where a step ends there."""
    parts = [part.strip() for part in text.split(":")]
    if len(parts) != 3:
        raise ParameterError(parameter.name, repr(text), "be written FIRST:LAST:STEP, such as 100:130:5")
    numbers = [_number(parameter, part) for part in parts]
    # As written, so that ten steps of 0.1 make 1.
    first, last, step = (Fraction(repr(number)) for number in numbers)
    if step == 0 or (last - first) / step < 0:
        raise ParameterError(parameter.name, repr(text), "have a step that leads from the first value to the last")
    # A third of an inch is no exact number of millimetres: what misses the last value by a rounding meets it.
    count = int((last - first) / step + Fraction(1, 10**6)) + 1
    if count > _MOST:
        raise ParameterError(parameter.name, repr(text), f"give at most {_MOST} values, it gives {count}")
    whole = all(isinstance(number, int) for number in numbers)
    for i in range(count):
        value = first + i * step
        yield int(value) if whole else float(value)


def _number(parameter: inspect.Parameter, text: str) -> int | float:
    value = read_value(parameter, text)
    if not isinstance(value, int | float):
        raise ParameterError(parameter.name, repr(text), "be a number")
    return value

"""Refusing values that no part can have, in one voice."""

from __future__ import annotations

import math
from numbers import Real

from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.told import told


def require_positive(part: str, **values: float) -> None:
    """Raise unless each value is a finite number > 0 (mm or as the part says)."""
    for name, value in values.items():
        if not (_is_number(value) and value > 0):
            raise ParameterError(f"{part}: {name}", _shown(value), _must(value, "be a number, more than 0"))


def require_not_negative(part: str, **values: float) -> None:
    """Raise unless each value is a finite number >= 0."""
    for name, value in values.items():
        if not (_is_number(value) and value >= 0):
            raise ParameterError(f"{part}: {name}", _shown(value), _must(value, "be a number, 0 or more"))


def require_finite(part: str, **values: float) -> None:
    """Raise unless each value is a finite number."""
    for name, value in values.items():
        if not _is_number(value):
            raise ParameterError(f"{part}: {name}", _shown(value), _must(value, "be a finite number"))


def require_between(part: str, low: float, high: float, **values: float) -> None:
    """Raise unless each value lies between two limits."""
    for name, value in values.items():
        if not (_is_number(value) and low <= value <= high):
            raise ParameterError(f"{part}: {name}", _shown(value), _must(value, f"be from {low:g} to {high:g}"))


def require_point(part: str, **values: object) -> None:
    """Raise unless each value is a pair of finite numbers."""
    for name, value in values.items():
        if not (isinstance(value, tuple) and len(value) == 2 and all(_is_number(v) for v in value)):
            raise ParameterError(f"{part}: {name}", value, "be a point (x, y) of two finite numbers")


def require_kind(part: str, kind: type, example: str, **values: object) -> None:
    """Raise unless each value is of a kind; the example shows how a maker writes one."""
    for name, value in values.items():
        if not isinstance(value, kind):
            raise ParameterError(f"{part}: {name}", told(value), f"be written like {example}")


def require_all(part: str, kind: tuple[type, ...] | type, example: str, **values: object) -> None:
    """Raise unless each value is a tuple or list that holds nothing but a kind."""
    for name, value in values.items():
        if not isinstance(value, tuple | list) or not all(isinstance(one, kind) for one in value):
            raise ParameterError(f"{part}: {name}", told(value), f"be written like {example}")


def _must(value: object, must: str) -> str:
    """What to say of a value; text where a number is due deserves a word of its own."""
    if isinstance(value, str):
        return f"{must}, not a text; length({value!r}) reads one"
    return must


def _shown(value: object) -> object:
    return repr(value) if isinstance(value, str) else value


def _is_number(value: object) -> bool:
    if isinstance(value, bool) or not isinstance(value, Real):
        return False
    return math.isfinite(value)

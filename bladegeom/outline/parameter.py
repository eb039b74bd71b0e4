"""Parameters of a profile: each a dataclass field that also knows its unit, sensible range and meaning."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from numbers import Real
from typing import Any, cast

from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.told import told

_KEY, _RULE = "bladegeom", "bladegeom rule"

_POWER = "power"
"""What a parameter without a unit is; in a message it would only puzzle."""

_LARGEST = 10_000.0
"""No bench takes a blank of more than 10 m; own choice."""


@dataclass(frozen=True, kw_only=True)
class Parameter:
    """What a maker may turn on a profile.

    Outside ``low`` to ``high`` a shape is still drawn if it can be; the check then says so.
    """

    name: str
    unit: str
    default: float
    low: float
    high: float
    meaning: str


Rule = Callable[[Any], str]
"""Of a profile: what one of its values must be, where it is not; "" where it is well."""


def parameter(default: float, unit: str, low: float, high: float, meaning: str, *, rule: Rule = lambda _: "") -> float:
    """Declare a parameter as the default of a dataclass field.

    The return type is that of the field, so that type checkers see a plain number with a default.
    """
    about = {"unit": unit, "low": low, "high": high, "meaning": meaning}
    return dataclasses.field(default=default, metadata={_KEY: about, _RULE: rule})


@dataclass(frozen=True)
class CommonParameter:
    """A parameter that many profiles have: what it means stands once, its numbers are each profile's own.

    Args:
        unit: Of it.
        meaning: Of it.
        rule: What no shape can do without.
    """

    unit: str
    meaning: str
    rule: Rule = lambda _: ""

    def __call__(self, default: float, low: float, high: float) -> float:
        """Declare it as the default of a dataclass field."""
        return parameter(default, self.unit, low, high, self.meaning, rule=self.rule)


def parameters(profile: object) -> tuple[Parameter, ...]:
    """The parameters of a profile or of its class, in the order declared."""
    return _parameters(profile if isinstance(profile, type) else profile.__class__)


@cache
def _parameters(kind: Any) -> tuple[Parameter, ...]:
    return tuple(
        Parameter(name=f.name, default=cast(float, f.default), **f.metadata[_KEY])
        for f in dataclasses.fields(kind)
        if _KEY in f.metadata
    )


def require(name: str, value: float, unit: str, must: str, *, ok: bool) -> None:
    """Refuse a value that no shape can have.

    Raises:
        ParameterError: Not ``ok``; names the parameter, its value and what it must be.
    """
    if not ok:
        raise ParameterError(name, f"{value:g} {unit}".rstrip(), must)


def require_numbers(profile: object) -> None:
    """Refuse what no shape can have.

    Raises:
        ParameterError: A value that is no finite number or beyond all reason, that is negative where the sensible
            range begins at 0 or above, or that breaks its parameter's own rule.
    """
    about = parameters(profile)
    for p in about:
        value = getattr(profile, p.name)
        if isinstance(value, bool) or not isinstance(value, Real) or not math.isfinite(value):
            hint = f", not a text; length({value!r}) reads one" if isinstance(value, str) and p.unit == "mm" else ""
            raise ParameterError(p.name, value, f"be a number ({p.unit}){hint}", shown=told(value))
        number = float(value)
        require(p.name, number, p.unit, "not be negative", ok=not p.low >= 0 > number)
        require(p.name, number, p.unit, f"be at most {_LARGEST:g}: lengths are in mm", ok=abs(number) <= _LARGEST)
    rules = [f.metadata[_RULE] for f in dataclasses.fields(cast(Any, profile)) if _KEY in f.metadata]
    for p, rule in zip(about, rules, strict=True):
        must = rule(profile)
        require(p.name, getattr(profile, p.name), "" if p.unit == _POWER else p.unit, must, ok=not must)


def outside_range(profile: object) -> tuple[tuple[Parameter, float], ...]:
    """Parameters whose value lies outside their sensible range, with that value."""
    values = ((p, float(getattr(profile, p.name))) for p in parameters(profile))
    return tuple((p, value) for p, value in values if not p.low <= value <= p.high)

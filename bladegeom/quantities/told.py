"""How a message shows a value to a maker."""

from __future__ import annotations

import dataclasses
from decimal import Decimal


def told(value: object) -> str:
    """A value as a maker knows it: a class or one of our values by its name, anything else as it is written."""
    if isinstance(value, type):
        return f"{value.__name__}, the kind itself and no value of it"
    if dataclasses.is_dataclass(value):
        return f"{type(value).__name__}(...)"
    if isinstance(value, tuple | list):
        return f"({', '.join(told(item) for item in value)}{',' if len(value) == 1 else ''})"
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, Decimal):
        return str(value)
    return repr(value)

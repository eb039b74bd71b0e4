"""What an alloy consists of, by its standard: limits in per cent of mass."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Final

from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Between, InUnit

_STAINLESS: Final = (10.5, 1.2)
"""Least chromium and greatest carbon of a stainless steel, per cent. Source: EN 10088-1, from memory."""


MassPercent = Annotated[float, Between(0, 100), InUnit("%")]


@declared("composition: {element}", slots=True)
class Content:
    """One element of an alloy.

    Args:
        element: Its symbol, such as "Ni".
        least: Per cent of mass.
        greatest: Per cent of mass.
    """

    element: str
    least: MassPercent
    greatest: MassPercent

    def __post_init__(self) -> None:
        if not self.least <= self.greatest:
            limits = f"{self.least:g} to {self.greatest:g} %"
            raise ParameterError(f"composition: {self.element}", limits, "be told with the lower number first")


def read_composition(text: str) -> tuple[Content, ...]:
    """Elements from a text such as "C 0.45-0.55; Cr 14-15"; none from an empty one."""
    return tuple(_content(part) for part in text.split(";") if part.strip())


def content(composition: Sequence[Content], element: str) -> tuple[float, float]:
    """Least and greatest per cent of an element; none of what the composition does not name."""
    return next(
        ((candidate.least, candidate.greatest) for candidate in composition if candidate.element == element), (0.0, 0.0)
    )


def is_stainless(composition: Sequence[Content]) -> bool:
    """Whether a steel of this composition is stainless."""
    chromium, carbon = _STAINLESS
    return content(composition, "Cr")[0] >= chromium and content(composition, "C")[1] <= carbon


def _content(part: str) -> Content:
    element, limits = part.split()
    least, greatest = limits.split("-")
    return Content(element=element, least=float(least), greatest=float(greatest))

"""Stations along a bar or a scale, each with the thickness there."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Annotated

from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Coordinate, Length, Like
from bladegeom.quantities.units import show_length

Stations = Annotated[tuple[tuple[Coordinate, Length], ...], Like("((-110.0, 6.0), (-60.0, 8.0), (0.0, 6.5))")]
"""(x, thickness) from the butt to the tip, mm."""


def require_stations(name: str, stations: Sequence[tuple[float, float]], *, most: float, whose: str) -> None:
    """Refuse stations that do not follow each other, or that are thicker than what they lie on.

    Raises:
        ParameterError: With the station.
    """
    for x, thick in stations:
        if thick > most:
            must = f"be at most the thickness of the {whose}, {show_length(most)}"
            raise ParameterError(f"{name} at x {x:g} mm", show_length(thick), must)
    for (a, _), (b, _) in itertools.pairwise(stations):
        if not a < b:
            must = "run from the butt on, each x more than the one before"
            raise ParameterError(name, f"in the order x {a:g} mm, x {b:g} mm", must)

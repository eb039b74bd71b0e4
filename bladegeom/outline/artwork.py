"""A drawing of closed lines that stands for itself, such as a maker's sign: its size counts for nothing."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.outline.filled import filled_region
from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Coordinate, Items


@declared("artwork", example='artwork_from_svg("anchor.svg")')
class Artwork:
    """What is filled in a drawing, by its borders; a mark scales it into its field.

    Args:
        rings: Borders as places (x, y), y up, in any unit; a border within another is a hole, one within that is
            filled again.

    >>> ring = Artwork(rings=(((0, 0), (4, 0), (4, 2), (0, 2)), ((1, 0.5), (1, 1.5), (3, 1.5), (3, 0.5))))
    >>> ring.region.area, ring.region.bounds
    (6.0, (0.0, 0.0, 4.0, 2.0))
    """

    rings: Annotated[tuple[tuple[tuple[Coordinate, Coordinate], ...], ...], Items(least=1)]

    def __post_init__(self) -> None:
        if not self.region.area > 0:
            raise ParameterError("artwork: rings", f"{len(self.rings)} of them", "enclose something")

    @cached_property
    def region(self) -> BaseGeometry:
        """What is filled."""
        return shapely.normalize(filled_region([np.array(ring).reshape(-1, 2) for ring in self.rings], even_odd=True))

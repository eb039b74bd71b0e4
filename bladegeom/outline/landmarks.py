"""Where the parts of a knife begin on a drawn loop, and how the drawing lies."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Sequence
from typing import Annotated, Any, Final, Literal

import numpy as np

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Like, Point

_PLACE: Final = "95.0, a distance behind the tip in mm, or (12.0, 3.5), a point of the drawing"

Place = Annotated[float | Point, Like(_PLACE)]

_PLACES = ("handle_front", "heel", "front_bottom", "tip", "butt_top", "butt_bottom")


@declared("landmarks", example="Landmarks(handle_front=110.0, heel=100.0)")
class Landmarks:
    """What a line cannot say of itself: where handle, heel and butt begin.

    A place is either a number, the distance behind the tip along the knife in mm, or a point (x, y) in the drawing's
    own coordinates as the program that drew it shows them; the nearest place of the loop is taken.

    Args:
        handle_front: Where the spine meets the handle front: the origin of the design.
        heel: Rear end of the edge.
        front_bottom: Where the handle front meets the underside; straight across from ``handle_front`` by default.
        tip: The sharpest corner of the foremost 3 mm by default.
        butt_top: Rear end of the handle's top; where it has turned by 45 degrees by default.
        butt_bottom: Rear end of the handle's underside; the same.
        level: Two points of the drawing that lie along the knife, the rear one first, if the knife is not drawn level.
        seen: "left" if the drawing shows the left face, the edge down and the tip to the left.

    >>> Landmarks(handle_front=110.0, heel=104.0).seen
    'right'
    """

    handle_front: Place
    heel: Place
    front_bottom: Place | None = None
    tip: Point | None = None
    butt_top: Place | None = None
    butt_bottom: Place | None = None
    level: tuple[Point, Point] | None = None
    seen: Literal["right", "left"] = "right"

    def __post_init__(self) -> None:
        if self.level is not None and math.dist(*self.level) <= 0:
            raise ParameterError("landmarks: level", self.level, "be two different points, the rear one first")

    def mapped(self, matrix: FloatArray) -> Landmarks:
        """The same with every point carried by an affine map (2, 3)."""
        return self.carried(lambda point: mapped_point(matrix, point))

    def carried(self, carry: Callable[[Vector], Vector]) -> Landmarks:
        """The same with every point carried to another frame."""
        places = {name: getattr(self, name) for name in _PLACES}
        moved: dict[str, Any] = {
            name: carry(place) if isinstance(place, tuple) else place for name, place in places.items()
        }
        level = None if self.level is None else (carry(self.level[0]), carry(self.level[1]))
        return dataclasses.replace(self, **moved, level=level)

    def levelling(self) -> FloatArray:
        """Map (2, 3) that lays the knife level, tip to the right and edge down."""
        (x0, y0), (x1, y1) = self.level or (
            ((1.0, 0.0), (0.0, 0.0)) if self.seen == "left" else ((0.0, 0.0), (1.0, 0.0))
        )
        along = np.array([x1 - x0, y1 - y0]) / math.hypot(x1 - x0, y1 - y0)
        turn = np.array([[along[0], along[1], 0.0], [-along[1], along[0], 0.0]])
        # Seen from the left the edge, down in the drawing, comes to lie up when the tip is turned to the right.
        return turn if self.seen == "right" else turn * np.array([[1.0], [-1.0]])


def mapped_point(matrix: FloatArray, point: Sequence[float]) -> Vector:
    """A point carried by an affine map (2, 3)."""
    x, y = matrix[:, :2] @ np.asarray(point, dtype=np.float64) + matrix[:, 2]
    return float(x), float(y)

"""From where a knife is looked at, and where its places come to stand in the picture."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, get_args

import numpy as np

from bladegeom.curves.curve import FloatArray

View = Literal["right", "left", "spine", "edge", "three-quarter"]
"""The right or the left face, from above on the spine, from below on the edge, or from the front and above."""

VIEWS: Final[tuple[View, ...]] = get_args(View)

_TOWARDS: Final[dict[View, tuple[float, float, float]]] = {
    "right": (0.0, 0.0, 1.0),
    "left": (0.0, 0.0, -1.0),
    "spine": (0.0, 1.0, 0.0),
    "edge": (0.0, -1.0, 0.0),
    "three-quarter": (0.42, 0.62, 1.0),
}
"""To the eye, of any length; the slanted one is our own choice: the spine shows, and the face is hardly shorter."""

_ACROSS: Final[dict[View, tuple[float, float, float]]] = {"left": (-1.0, 0.0, 0.0)}
"""What lies to the right in the picture where that is not the way to the tip."""


def axes_of(view: View) -> FloatArray:
    """Unit vectors to the right, up and towards the eye as rows, shape (3, 3)."""
    towards = np.array(_TOWARDS[view])
    towards /= np.linalg.norm(towards)
    across = np.array(_ACROSS.get(view, (1.0, 0.0, 0.0)))
    across -= (across @ towards) * towards
    across /= np.linalg.norm(across)
    return np.stack([across, np.cross(towards, across), towards])


@dataclass(frozen=True, kw_only=True, eq=False)
class Camera:
    """A parallel view at one scale.

    Args:
        axes: See :func:`axes_of`.
        mm_per_pixel: Scale; true in the picture's plane.
        origin: Pixel place of the design's origin, across and down.
    """

    axes: FloatArray
    mm_per_pixel: float
    origin: tuple[float, float]

    def seen(self, places: FloatArray) -> FloatArray:
        """Pixels to the right and down, and mm towards the eye, of places in mm, shape (n, 3)."""
        turned = places @ self.axes.T
        scale = np.array([1 / self.mm_per_pixel, -1 / self.mm_per_pixel, 1.0])
        return np.asarray(turned * scale + (*self.origin, 0.0))

    def places(self, seen: FloatArray) -> FloatArray:
        """Places in mm of what :meth:`seen` gives, shape (n, 3)."""
        scale = np.array([self.mm_per_pixel, -self.mm_per_pixel, 1.0])
        return np.asarray((seen - (*self.origin, 0.0)) * scale @ self.axes)

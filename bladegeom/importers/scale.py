"""How large a drawing is meant to be, told by one length that the maker knows."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.outline.landmarks import Landmarks
from bladegeom.quantities.errors import ParameterError

KnownLength = tuple[Vector, Vector, float]
"""Two points of a drawing in its own coordinates, and how far apart they are in mm."""


@dataclass(frozen=True, kw_only=True)
class KnownScale:
    """What the maker knows of a drawing's size: at most one of the two."""

    length_between: KnownLength | None = None
    blade_length: float | None = None

    @property
    def is_told(self) -> bool:
        """Whether anything is known."""
        return self.length_between is not None or self.blade_length is not None

    def mm_per_unit(self, marks: Landmarks) -> float | None:
        """By how many mm to take one unit of the drawing; None if nothing is known.

        Raises:
            ParameterError: Both told, a length that is not positive, or places that are no points.
        """
        if self.length_between is not None and self.blade_length is not None:
            raise ParameterError("true size", "told by length_between and by blade_length", "be told by one of the two")
        if self.length_between is not None:
            a, b, mm = self.length_between
            return _scale("length_between", math.dist(a, b), mm)
        if self.blade_length is None:
            return None
        if not (isinstance(marks.tip, tuple) and isinstance(marks.handle_front, tuple)):
            raise ParameterError(
                "blade_length",
                f"{self.blade_length:g} mm",
                "come with tip and handle_front as points of the drawing, for it is measured between them",
            )
        along = marks.levelling()[0, :2]
        return _scale("blade_length", abs(float(along @ np.subtract(marks.tip, marks.handle_front))), self.blade_length)


def scaled(matrix: FloatArray, known: float | None) -> FloatArray:
    """A map (2, 3) from a drawing's own coordinates made so large that one of its units is the known number of mm."""
    if known is None:
        return matrix
    return np.asarray(matrix * (known / math.sqrt(abs(np.linalg.det(matrix[:, :2])))))


def _scale(name: str, units: float, mm: float) -> float:
    if not (mm > 0 and math.isfinite(mm)):
        raise ParameterError(name, f"{mm:g} mm", "be more than 0 mm")
    if not units > 0:
        raise ParameterError(name, f"{mm:g} mm", "lie between two different places")
    return mm / units

"""Loose lines of a drawing as its reader found them, with the names by which a maker may call them."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from bladegeom.curves.curve import Curve, FloatArray, Vector
from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.quantities.tolerances import JOINED

GAP = 0.05
"""Ends so near to each other are joined, mm. Source: what a cutting service's importer closes, 0.002 in."""

_MOST_PIECES, _MOST_OPEN = 20_000, 5_000
"""Pieces of all lines together, and lines with two ends, which must be tried against each other; own choice: a knife's
outline in chords of 0.1 mm has 5000."""

_FARTHEST = 1e7
"""Greatest coordinate, mm: 10 km; own choice, as for DXF."""


class NamedLine(NamedTuple):
    """A line, and the names by which a maker may ask for it."""

    curve: Curve
    names: frozenset[str]


@dataclass
class Lines:
    """What a reader found, in mm, y up.

    Args:
        name: Of the file, for messages.
        loops: Closed lines.
        open: Lines with two ends.
        circles: Centre and radius of each circle.
        to_mm: Map (2, 3) from the file's own coordinates to mm.
        size_told_by: How a maker tells the size where the file says a wrong one; "" where it was told.
        left_out: What was not read, in words, and how often.
    """

    name: str
    to_mm: FloatArray
    size_told_by: str = ""
    loops: list[NamedLine] = field(default_factory=list)
    open: list[NamedLine] = field(default_factory=list)
    circles: list[tuple[float, float, float]] = field(default_factory=list)
    left_out: Counter[str] = field(default_factory=Counter)
    _pieces: int = 0

    def add(self, pieces: FloatArray, *, closed: bool, names: frozenset[str] = frozenset()) -> None:
        """One line more, its crumbs left out.

        Args:
            pieces: Cubics, shape (k, 4, 2), mm.
            closed: The file says that it closes.
            names: By which a maker may ask for it.

        Raises:
            UnreadableFileError: More of them than a knife can need, or one that lies beyond all reason.
        """
        if not (np.abs(pieces) < _FARTHEST).all():
            raise UnreadableFileError(
                self.name, "the file has a line farther off than 10 km; check the unit and the transforms"
            )
        pieces = pieces[np.abs(pieces - pieces[:, :1]).max(axis=(1, 2), initial=0.0) > JOINED]
        if not len(pieces):
            return
        curve = Curve(pieces)
        meets = math.dist(curve.start, curve.end) <= GAP and len(curve) > 1
        (self.loops if closed or meets else self.open).append(NamedLine(curve, names))
        self._pieces += len(pieces)
        if self._pieces > _MOST_PIECES or len(self.open) > _MOST_OPEN:
            raise UnreadableFileError(
                self.name,
                f"the file has more than {_MOST_PIECES} pieces of line, or {_MOST_OPEN} lines that do not close; save "
                "the outline alone, with fewer points",
            )

    @property
    def not_read(self) -> tuple[str, ...]:
        """What was left out, each with its number."""
        return tuple(f"{count} {what}" for what, count in self.left_out.items())

    def failed(self, reason: str) -> UnreadableFileError:
        """An error that says what is wrong, and what was not read at all."""
        rest = "; ".join(self.not_read[:6])
        return UnreadableFileError(self.name, f"{reason}; not read: {rest}" if rest else reason)

    def told(self, point: Vector) -> str:
        """A place in the file's own coordinates."""
        m = self.to_mm
        x, y = np.linalg.solve(m[:, :2], np.asarray(point) - m[:, 2])
        return f"({x:.2f}, {y:.2f})"

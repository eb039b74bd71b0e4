"""The ground that knives lie on: shadows, hands, words and the ruler are put there in the order of the calls."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray
from bladegeom.pictures.fill import coverage
from bladegeom.pictures.shade import blurred, coarse, fine
from bladegeom.pictures.shot import Shot
from bladegeom.pictures.studio import Floats, encoded, linear
from bladegeom.quantities.appearances import Rgb
from bladegeom.quantities.letter_outlines import text_outlines
from bladegeom.quantities.lettering import text_width

_COLOURS: Final = ((250, 249, 247), (229, 228, 225))
"""Colour at the top and at the bottom: own choice."""

_SHADOWS: Final = ((0.0011, 0.0012, 0.30), (0.005, 0.0065, 0.26), (0.014, 0.020, 0.16))
"""How far each lies below the knife and how soft it is, as shares of the picture's width, and how dark: own choice."""


class Backdrop:
    """Linear light of a picture, rows from the top."""

    def __init__(self, columns: int, rows: int, *, white: bool) -> None:
        top, bottom = (linear(colour) for colour in (((255, 255, 255),) * 2 if white else _COLOURS))
        down = np.linspace(0, 1, rows, dtype=np.float32)[:, None, None]
        self.light: Floats = np.repeat(top + (bottom - top) * down, columns, axis=1).astype(np.float32)

    @property
    def pixels(self) -> npt.NDArray[np.uint8]:
        """As screens take it, shape (rows, columns, 3)."""
        return encoded(self.light)

    def lay(self, shot: Shot, top: int) -> None:
        """A knife, from a row downwards."""
        part = self.light[top : top + len(shot.cover)]
        part *= (1 - np.minimum(shot.cover, 1))[..., None]
        part += shot.light

    def shadow(self, shot: Shot, top: int) -> None:
        """Of a knife that lies there, light from above."""
        rows, columns = shot.cover.shape
        share = coarse(shot.cover)
        part = self.light[top : top + rows]
        for below, soft, dark in _SHADOWS:
            shade = fine(blurred(share, soft * columns / 4), rows, columns)
            down = round(below * columns)
            part[down:] *= (1 - np.float32(dark) * shade[: rows - down])[..., None]

    def fill(self, rings: Iterable[FloatArray], colour: Rgb, share: float = 1.0) -> None:
        """Closed lines, shape (n, 2) each, pixels to the right and down."""
        lines = list(rings)
        if not lines:
            return
        rows, columns, _ = self.light.shape
        low = np.floor(np.min([line.min(axis=0) for line in lines], axis=0)).astype(int)
        high = np.ceil(np.max([line.max(axis=0) for line in lines], axis=0)).astype(int)
        (left, top), (right, bottom) = np.maximum(low, 0), np.minimum(high, (columns, rows))
        if right <= left or bottom <= top:
            return
        cover = coverage([line - (left, top) for line in lines], right - left, bottom - top) * share
        part = self.light[top:bottom, left:right]
        part += (linear(colour) - part) * cover[..., None].astype(np.float32)

    def words(
        self,
        text: str,
        place: tuple[float, float],
        height: float,
        colour: Rgb,
        *,
        bold: bool = False,
        anchor: float = 0,
    ) -> None:
        """A line of text; ``anchor`` is the share of its width that lies left of the place."""
        left = place[0] - anchor * text_width(text, height, bold=bold)
        start = np.array([left, place[1]])
        rings = (np.array(ring) * (1.0, -1.0) for ring in text_outlines(text, height, bold=bold))
        self.fill([start + ring for ring in rings], colour)

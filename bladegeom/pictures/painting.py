"""Pictures of knives in light, ready to be shown: one, or several under each other at one scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Annotated

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray
from bladegeom.design.design import Design
from bladegeom.knife.grind import STAGES, Stage
from bladegeom.pictures.layout import FINE, STANDS_FOR, PictureAsked, laid_out, row_of
from bladegeom.pictures.png import png_of
from bladegeom.pictures.view import VIEWS, Camera, View
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Between, InUnit, KnownWord
from bladegeom.quantities.units import show_length
from bladegeom.quantities.version import __version__

_SHADES = 4
"""Steps of a coarse picture, of 256."""

_Width = Annotated[int, Between(300, 8000), InUnit("pixels")]

_Hand = Annotated[float, Between(40.0, 140.0), InUnit("mm")]
"""A child's, to broader than any; own choice, so that a slip of the unit is seen."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Painting:
    """Pixels, and the way to them from a place on a knife.

    Args:
        pixels: Rows from the top, sRGB, shape (rows, columns, 3).
        cameras: One for each design, in their order.
        title: Names and revisions.

    >>> from bladegeom import picture
    >>> made = picture(design, width=600)
    >>> made.at([(0.0, 0.0, 0.0)]).shape, made.png()[1:4]
    ((1, 2), b'PNG')
    """

    pixels: npt.NDArray[np.uint8]
    cameras: tuple[Camera, ...]
    title: str

    @property
    def mm_per_pixel(self) -> float:
        """Scale; true for what lies square to the eye."""
        return self.cameras[0].mm_per_pixel

    def at(self, places: Sequence[Sequence[float]] | FloatArray, number: int = 0) -> FloatArray:
        """Pixels to the right and down of places on a design, shape (n, 2).

        Args:
            places: x, y and z, mm, shape (n, 3).
            number: Of the design: 0 the first, 1 what lies beside it.
        """
        return self.cameras[number].seen(np.asarray(places, dtype=float))[:, :2]

    @cached_property
    def _png(self) -> bytes:
        return self._file(self.pixels)

    def _file(self, pixels: npt.NDArray[np.uint8]) -> bytes:
        texts = {"Title": self.title, "Description": STANDS_FOR, "Software": f"bladegeom {__version__}"}
        return png_of(pixels, round(1000 / self.mm_per_pixel), texts)

    def png(self) -> bytes:
        """As a file that says at which size it is true; the same picture gives the same bytes."""
        return self._png

    @property
    def coarse_png(self) -> bytes:
        """The same in steps of a few shades, which nobody sees in grain and scratches, and in half the bytes."""
        even = (self.pixels.astype(np.uint16) + _SHADES // 2) // _SHADES * _SHADES
        return self._file(np.minimum(even, 255).astype(np.uint8))

    def _repr_png_(self) -> bytes:
        return self.png()


def painting(
    designs: Sequence[Design],
    view: View = "right",
    *,
    width: int = 2400,
    stage: Stage = "finished",
    mm_per_pixel: float | None = None,
    bare: bool = False,
    hand: float | None = None,
    tolerance: float = FINE,
) -> Painting:
    """Light some designs and lay them under each other, at one scale.

    Args:
        designs: At least one.
        view: From where they are seen.
        width: Of the picture, pixels.
        stage: Of the work; the handle is there from "finished" on.
        mm_per_pixel: The scale, mm; then the picture is as wide as the knife needs. None fits the width.
        bare: Whether to leave out shadow, words and ruler, and most of the margin, on white ground.
        hand: Breadth of a hand that is shown behind each handle, across the knuckles without the thumb, mm.
        tolerance: Greatest distance of the meshes from the laws, mm; a third of a pixel is not seen.

    Raises:
        ParameterError: A width out of bounds, or a hand where none can lie.
        UnknownNameError: No such view or stage.
    """
    require_shown(view, width, stage, hand)
    asked = PictureAsked(view=view, stage=stage, bare=bare, hand=hand, tolerance=tolerance)
    rows = [row_of(design, asked) for design in designs]
    pixels, cameras = laid_out(rows, asked, width=width, mm_per_pixel=mm_per_pixel)
    return Painting(pixels=pixels, cameras=cameras, title="; ".join(design.title for design in designs))


def require_shown(view: View, width: int, stage: Stage, hand: float | None) -> None:
    """That there can be such a picture of any knife; the arguments are those of :func:`painting`.

    Raises:
        ParameterError: There can be none.
        UnknownNameError: No such view or stage.
    """
    checked("picture: view", view, Annotated[str, KnownWord("view", VIEWS)])
    checked("picture: stage", stage, Annotated[str, KnownWord("stage", STAGES)])
    checked("picture: width", width, _Width)
    checked("picture: hand", hand, _Hand | None)
    if hand is not None and view not in ("right", "left"):
        must = f"be left out of the view {view!r}; it lies flat behind a face: ask for right or left"
        raise ParameterError("picture: hand", show_length(hand), must)

"""Pictures of knives in light, ready to be shown: one, or several under each other at one scale."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Annotated, Final

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray
from bladegeom.design.design import Design
from bladegeom.knife.grind import STAGES, Stage
from bladegeom.meshes.knife_mesh import KnifeMesh, knife_mesh
from bladegeom.pictures.backdrop import Backdrop
from bladegeom.pictures.fill import rings_of
from bladegeom.pictures.hand import hand_corners, hand_shape
from bladegeom.pictures.png import png_of
from bladegeom.pictures.ruler import draw_ruler
from bladegeom.pictures.shot import shot
from bladegeom.pictures.view import VIEWS, Camera, View, axes_of
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Between, InUnit, KnownWord, Length
from bladegeom.quantities.units import show_length
from bladegeom.quantities.version import __version__

STANDS_FOR: Final = "Colours and grain stand for the material."
"""What stands under each picture."""

_INK: Final = (44, 44, 46)
_SOFT_INK: Final = (104, 103, 100)
_HAND: Final = (219, 214, 207)
_HAND_RIM: Final = (172, 166, 158)

_TOLERANCE: Final = 0.02
"""Of the mesh, mm: a seventh of a pixel of the largest usual picture."""

_SIDE, _ABOVE, _TEXT = 0.042, 0.034, 0.0125
"""Margins at the sides, above and below, and height of words, as shares of the picture's width: own choice."""

_BARE = 6
"""Margin of a bare picture, pixels."""

_SHADES = 4
"""Steps of a coarse picture, of 256."""

_SEEN: Final[Mapping[View, str]] = {
    "right": "Right face",
    "left": "Left face",
    "spine": "From above, on the spine",
    "edge": "From below, on the edge",
    "three-quarter": "From the front and above, lengths are shortened",
}

_Width = Annotated[int, Between(300, 8000), InUnit("pixels")]


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


@dataclass(frozen=True, kw_only=True, eq=False)
class _Row:
    """One design with its mesh and what holds all that is drawn of it: right, up, towards the eye, mm."""

    design: Design
    solid: KnifeMesh
    low: FloatArray
    high: FloatArray


def painting(
    designs: Sequence[Design],
    view: View = "right",
    *,
    width: int = 2400,
    stage: Stage = "finished",
    mm_per_pixel: float | None = None,
    bare: bool = False,
    hand: float | None = None,
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

    Raises:
        ParameterError: A width out of bounds, or a hand where none can lie.
        UnknownNameError: No such view or stage.
    """
    require_shown(view, width, stage, hand)
    axes = axes_of(view)
    rows = [_row(design, stage, axes, hand) for design in designs]
    across = max(row.high[0] for row in rows) - min(row.low[0] for row in rows)
    margin = _BARE if bare else round(_SIDE * width)
    scale = _scale(mm_per_pixel or across / (width - 2 * margin))
    columns = width if mm_per_pixel is None else math.ceil(across / scale) + 2 * margin
    left = margin - min(row.low[0] for row in rows) / scale + (columns - 2 * margin - across / scale) / 2
    return _painted(rows, view, axes, scale, columns, left, bare=bare, hand=hand)


def require_shown(view: View, width: int, stage: Stage, hand: float | None) -> None:
    """That there can be such a picture of any knife; the arguments are those of :func:`painting`.

    Raises:
        ParameterError: There can be none.
        UnknownNameError: No such view or stage.
    """
    checked("picture: view", view, Annotated[str, KnownWord("view", VIEWS)])
    checked("picture: stage", stage, Annotated[str, KnownWord("stage", STAGES)])
    checked("picture: width", width, _Width)
    checked("picture: hand", hand, Length | None)
    if hand is not None and view not in ("right", "left"):
        raise ParameterError(
            "picture: hand", show_length(hand), f"be None seen from {view!r}: it lies flat beside a face"
        )


def _scale(mm: float) -> float:
    """The next coarser scale of whole pixels to a metre, as files tell it."""
    return 1000 / max(1, math.floor(1000 / mm))


def _row(design: Design, stage: Stage, axes: FloatArray, hand: float | None) -> _Row:
    solid = knife_mesh(design.knife, stage, _TOLERANCE)
    places = np.concatenate([part.mesh.vertices for part in solid.parts])
    if hand is not None:
        places = np.concatenate([places, hand_corners(design.knife, hand)])
    turned = places @ axes.T
    return _Row(design=design, solid=solid, low=turned.min(axis=0), high=turned.max(axis=0))


def _painted(
    rows: Sequence[_Row],
    view: View,
    axes: FloatArray,
    scale: float,
    columns: int,
    left: float,
    *,
    bare: bool,
    hand: float | None,
) -> Painting:
    above, text = (_BARE, 0.0) if bare else (round(_ABOVE * columns), _TEXT * columns)
    heights = [math.ceil((row.high[1] - row.low[1]) / scale) + 2 * above for row in rows]
    under = round(0 if bare else 2.2 * text)
    foot = round(0 if bare else 4.2 * text)
    backdrop = Backdrop(columns, sum(heights) + under * len(rows) + foot, white=bare)
    cameras, top = [], 0
    for row, height in zip(rows, heights, strict=True):
        camera = Camera(axes=axes, mm_per_pixel=scale, origin=(left, above + float(row.high[1]) / scale))
        made = shot(row.design, row.solid, view, camera, columns, height)
        placed = Camera(axes=axes, mm_per_pixel=scale, origin=(left, top + camera.origin[1]))
        if hand is not None:
            _lay_hand(backdrop, row.design, placed, hand)
        if not bare:
            backdrop.shadow(made, top)
            backdrop.words(row.design.title, (_SIDE * columns, top + height + text), 1.12 * text, _INK, bold=True)
        backdrop.lay(made, top)
        cameras.append(placed)
        top += height + under
    if not bare:
        _foot(backdrop, view, scale, top + 1.4 * text, text, hand)
    title = "; ".join(row.design.title for row in rows)
    return Painting(pixels=backdrop.pixels, cameras=tuple(cameras), title=title)


def _lay_hand(backdrop: Backdrop, design: Design, camera: Camera, breadth: float) -> None:
    shape = hand_shape(design.knife, breadth)
    for outline, colour in ((shape, _HAND_RIM), (shape.buffer(-2 * camera.mm_per_pixel), _HAND)):
        flat = (np.column_stack([ring, np.zeros(len(ring))]) for ring in rings_of(outline))
        backdrop.fill([camera.seen(ring)[:, :2] for ring in flat], colour)


def _foot(backdrop: Backdrop, view: View, scale: float, base: float, text: float, hand: float | None) -> None:
    columns = backdrop.light.shape[1]
    said = f"{_SEEN[view]}. {STANDS_FOR}"
    if hand is not None:
        said += f" Hand: {show_length(hand)} across the knuckles."
    backdrop.words(said, (_SIDE * columns, base), 0.92 * text, _SOFT_INK)
    if view != "three-quarter":
        draw_ruler(backdrop, scale, (1 - _SIDE) * columns, base - 0.6 * text, 0.92 * text)

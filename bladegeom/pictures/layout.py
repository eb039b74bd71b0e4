"""How knives, hands, words and a ruler lie on one picture, under each other at one scale."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray
from bladegeom.design.design import Design
from bladegeom.knife.grind import Stage
from bladegeom.meshes.knife_mesh import KnifeMesh, knife_mesh
from bladegeom.pictures.backdrop import Backdrop
from bladegeom.pictures.fill import rings_of
from bladegeom.pictures.hand import hand_corners, hand_shape
from bladegeom.pictures.ruler import draw_ruler
from bladegeom.pictures.shot import Shot, shot
from bladegeom.pictures.view import Camera, View, axes_of
from bladegeom.quantities.units import show_length

STANDS_FOR: Final = "Colours and grain stand for the material."
"""What stands under each picture."""

_INK: Final = (44, 44, 46)
_SOFT_INK: Final = (104, 103, 100)
_HAND: Final = (219, 214, 207)
_HAND_RIM: Final = (172, 166, 158)

FINE: Final = 0.02
"""Greatest distance of a picture's mesh from the laws, mm: a seventh of a pixel of the largest usual picture."""

_SIDE, _ABOVE, _TEXT = 0.042, 0.034, 0.0125
"""Margins at the sides, above and below, and height of words, as shares of the picture's width: own choice."""

_BARE = 6
"""Margin of a bare picture, pixels."""

_SEEN: Final[Mapping[View, str]] = {
    "right": "Right face",
    "left": "Left face",
    "spine": "Spine, from above, right face below",
    "edge": "Edge, from below, right face above",
    "three-quarter": "From the front and above; lengths are shortened",
}

_STAGES: Final[Mapping[Stage, str]] = {
    "blank": ": the blank",
    "rough": ": ground before hardening",
    "finished": "",
    "sharp": ", sharpened",
}
"""What is said of the stage behind the name."""


@dataclass(frozen=True, kw_only=True)
class PictureAsked:
    """What picture is wanted.

    Args:
        view: From where the knives are seen.
        stage: Of the work.
        bare: Whether without shadow, words, ruler and most of the margin, on white ground.
        hand: Breadth of a hand behind each handle, mm; None shows none.
        tolerance: Greatest distance of the meshes from the laws, mm.
    """

    view: View
    stage: Stage
    bare: bool
    hand: float | None
    tolerance: float


@dataclass(frozen=True, kw_only=True, eq=False)
class LaidRow:
    """One design with its mesh, and boxes to the right, up and towards the eye, mm.

    Args:
        design: The design.
        solid: Its mesh.
        knife: Least and greatest of the knife, shape (2, 3).
        whole: The same with the hand.
    """

    design: Design
    solid: KnifeMesh
    knife: FloatArray
    whole: FloatArray


def row_of(design: Design, asked: PictureAsked) -> LaidRow:
    """A design as it is to be laid."""
    axes = axes_of(asked.view)
    solid = knife_mesh(design.knife, asked.stage, asked.tolerance)
    turned = np.concatenate([part.mesh.vertices for part in solid.parts]) @ axes.T
    box = np.stack([turned.min(axis=0), turned.max(axis=0)])
    corners = box if asked.hand is None else np.concatenate([box, hand_corners(design.knife, asked.hand) @ axes.T])
    return LaidRow(design=design, solid=solid, knife=box, whole=np.stack([corners.min(axis=0), corners.max(axis=0)]))


def laid_out(
    rows: Sequence[LaidRow], asked: PictureAsked, *, width: int, mm_per_pixel: float | None
) -> tuple[npt.NDArray[np.uint8], tuple[Camera, ...]]:
    """Pixels, and a camera for each design.

    Args:
        rows: From the top.
        asked: What picture.
        width: Pixels, where no scale is told.
        mm_per_pixel: The scale; None fits the width.
    """
    low, high = min(row.whole[0, 0] for row in rows), max(row.whole[1, 0] for row in rows)
    margin = _BARE if asked.bare else round(_SIDE * width)
    scale = _scale(mm_per_pixel or float(high - low) / (width - 2 * margin))
    columns = width if mm_per_pixel is None else math.ceil((high - low) / scale) + 2 * margin
    left = columns / 2 - float(low + high) / 2 / scale
    around, text = (_BARE, 0.0) if asked.bare else (round(_ABOVE * columns), _TEXT * columns)
    heights = [math.ceil((row.whole[1, 1] - row.whole[0, 1]) / scale) + 2 * around for row in rows]
    under, lines = round(2.2 * text), 1 if asked.hand is None else 2
    backdrop = Backdrop(columns, sum(heights) + len(rows) * under + round((2.6 + 1.6 * lines) * text), white=asked.bare)
    cameras, top = [], 0
    for row, height in zip(rows, heights, strict=True):
        origin = (left, top + around + float(row.whole[1, 1]) / scale)
        cameras.append(Camera(axes=axes_of(asked.view), mm_per_pixel=scale, origin=origin))
        _lay(backdrop, row, asked, cameras[-1], around)
        top += height + under
        if text:
            backdrop.words(_named(row), (_SIDE * columns, top - under + text), 1.12 * text, _INK, bold=True)
    if text:
        _foot(backdrop, asked, scale, top + 1.4 * text, text)
    return backdrop.pixels, tuple(cameras)


def _scale(mm: float) -> float:
    """The next coarser scale of whole pixels to a metre, as files tell it."""
    return 1000 / max(1, math.floor(1000 / mm))


def _lay(backdrop: Backdrop, row: LaidRow, asked: PictureAsked, camera: Camera, around: int) -> None:
    """A knife with its shadow, over a hand."""
    made, top = _shot(backdrop, row, asked, camera, around)
    if asked.hand is not None:
        shape = hand_shape(row.design.knife, asked.hand)
        for outline, colour in ((shape, _HAND_RIM), (shape.buffer(-2 * camera.mm_per_pixel), _HAND)):
            flat = (np.column_stack([ring, np.zeros(len(ring))]) for ring in rings_of(outline))
            backdrop.fill([camera.seen(ring)[:, :2] for ring in flat], colour)
    if not asked.bare:
        backdrop.shadow(made, top)
    backdrop.lay(made, top)


def _shot(backdrop: Backdrop, row: LaidRow, asked: PictureAsked, camera: Camera, around: int) -> tuple[Shot, int]:
    """Rows of the picture that the knife takes, and the first of them."""
    (left, down), scale = camera.origin, camera.mm_per_pixel
    whole, columns, _ = backdrop.light.shape
    top = max(math.floor(down - float(row.knife[1, 1]) / scale) - around, 0)
    end = min(math.ceil(down - float(row.knife[0, 1]) / scale) + around, whole)
    moved = Camera(axes=camera.axes, mm_per_pixel=scale, origin=(left, down - top))
    return shot(row.design, row.solid, asked.view, moved, columns, end - top), top


def _named(row: LaidRow) -> str:
    """Name and revision, the stage, and what belongs to the knife and is no part of the picture."""
    without = f", without its {' and '.join(row.solid.lacks)}" if row.solid.lacks else ""
    return f"{row.design.title}{_STAGES[row.solid.stage]}{without}"


def _foot(backdrop: Backdrop, asked: PictureAsked, scale: float, base: float, text: float) -> None:
    columns = backdrop.light.shape[1]
    said = [f"{_SEEN[asked.view]}. {STANDS_FOR}"]
    if asked.hand is not None:
        said.append(f"The hand is {show_length(asked.hand)} broad across the knuckles.")
    for number, words in enumerate(said):
        backdrop.words(words, (_SIDE * columns, base + 1.6 * number * text), 0.92 * text, _SOFT_INK)
    if asked.view != "three-quarter":
        draw_ruler(backdrop, scale, (1 - _SIDE) * columns, base - 0.6 * text, 0.92 * text)

"""The knife in light, as the proof holds it: pixels within the page, one picture for each face that differs."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from dataclasses import dataclass

from bladegeom.design.design import Design
from bladegeom.knife.grind import Flank
from bladegeom.pictures.layout import STANDS_FOR
from bladegeom.pictures.painting import painting
from bladegeom.quantities.solid_errors import MeshError

_WIDTH = 1000
"""Pixels: sharp on a screen, and about a hundred kilobytes; own choice."""

_TOLERANCE = 0.06
"""Of its meshes, mm: a third of a pixel, and a third less work than the mesh of a file."""


@dataclass(frozen=True, kw_only=True)
class LitFace:
    """One face.

    Args:
        key: Its name in the page.
        title: What is shown.
        words: What stands under it.
        png: The file itself, in base 64.
        across: Width, pixels.
        down: Height, pixels.
    """

    key: str
    title: str
    words: str
    png: str
    across: int
    down: int


@dataclass(frozen=True, kw_only=True)
class InLight:
    """What the proof shows of the knife in light.

    Args:
        faces: The right one, and the left one where something stands there alone; none where no mesh stands for it.
        lacks: Why there is none.
    """

    faces: tuple[LitFace, ...] = ()
    lacks: str = ""


def in_light(design: Design) -> InLight:
    """Pictures, or why there are none: a faulty design still has its proof, which tells its findings."""
    try:
        return InLight(faces=tuple(_lit_faces(design)))
    except MeshError as error:
        return InLight(lacks=str(error))


def _lit_faces(design: Design) -> Iterator[LitFace]:
    for flank in _faces(design):
        made = painting([design], flank, width=_WIDTH, bare=True, tolerance=_TOLERANCE)
        down, across, _ = made.pixels.shape
        yield LitFace(
            key=f"lit-{flank}",
            title=f"The {flank} face in light.",
            words=STANDS_FOR,
            png=base64.b64encode(made.coarse_png).decode(),
            across=across,
            down=down,
        )


def _faces(design: Design) -> tuple[Flank, ...]:
    alone = {zone.side for zone in design.knife.zones} | {design.knife.grind.only}
    return ("right", "left") if "left" in alone else ("right",)

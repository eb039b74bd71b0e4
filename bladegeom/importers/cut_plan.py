"""What a file for a cutting machine holds, as plain values: lines and arcs, and things that no cutter can follow."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.segments import Ints, Segments, joined_segments

LIKELY: Final = (20.0, 1000.0)
"""Parts of knives are longer and shorter than this, mm; own choice."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Chain:
    """One thing of the file that runs along lines and arcs.

    Args:
        kind: "polyline", "line", "arc", "circle", "spline" or "ellipse"; the last two stand here as chords.
        layer: Where it lies.
        segments: Each begins where the one before ends, mm.
        closed: Whether the file says that the last end is the first start.
        width: The greatest that it is drawn with, mm.
        thickness: How far it is extruded out of the plane, mm.
        unseen: Why a CAD program does not show it, such as "frozen"; "" where it does.
    """

    kind: str
    layer: str
    segments: Segments
    closed: bool
    width: float = 0.0
    thickness: float = 0.0
    unseen: str = ""


@dataclass(frozen=True, kw_only=True)
class Stray:
    """Something in the file that is no line to cut along.

    Args:
        kind: "text", "hatch", "dimension", "point", "block", "other".
        what: In words, such as "MTEXT".
        layer: Where it lies.
        x: Place, mm.
        y: Place, mm.
    """

    kind: str
    what: str
    layer: str
    x: float
    y: float


@dataclass(frozen=True, kw_only=True, eq=False)
class CutPlan:
    """All that a cut file holds; lengths in mm as far as the file tells its unit.

    Args:
        name: Of the file.
        sha256: Of its bytes.
        release: Of the format, such as "R2000".
        unit: What the file says that one unit is: "mm", "inch", another name, or "" where it says nothing.
        told: What somebody said that it is where the file says nothing: "mm", "inch", or "".
        mm_per_unit: By which all lengths were multiplied: that unit, or what was taken where there is none to go by.
        metric: Whether the file calls itself metric; None where it says nothing.
        chains: Lines to cut along.
        marks: Lines on layers that are named for something else than cutting, and those that are not shown.
        strays: What else lies in model space.
        elsewhere: Things outside model space, by layout.
        layers: Number of things on each layer, in order of the file.
    """

    name: str
    sha256: str
    release: str
    unit: str
    told: str
    mm_per_unit: float
    metric: bool | None
    chains: tuple[Chain, ...]
    marks: tuple[Chain, ...]
    strays: tuple[Stray, ...]
    elsewhere: tuple[tuple[str, int], ...]
    layers: tuple[tuple[str, int], ...]

    @cached_property
    def segments(self) -> Segments:
        """All lines to cut along."""
        return joined_segments([chain.segments for chain in self.chains])

    @cached_property
    def owner(self) -> Ints:
        """Index of the chain of each of them."""
        return np.repeat(np.arange(len(self.chains)), [len(chain.segments) for chain in self.chains])

    @cached_property
    def bounds(self) -> FloatArray:
        """Least x, least y, greatest x, greatest y of the lines to cut along, mm; nan without any."""
        if not len(self.segments):
            return np.full(4, np.nan)
        boxes = self.segments.boxes
        return np.concatenate([boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)])

"""Narrow places and inside corners of a cut file, measured."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bladegeom.cutfile.cut_chords import chord_joints
from bladegeom.cutfile.cut_loops import Loop
from bladegeom.cutfile.cut_measures import Narrow, hole_widths, inside_corners, narrow_webs, necks
from bladegeom.cutfile.cut_nest import NestedLoops

_SHARP_DEG = 15.0
"""Inside corners that turn by less are not told; own choice."""


@dataclass(frozen=True, kw_only=True)
class Narrows:
    """All that was measured of narrow places.

    Args:
        holes: Largest circle in each hole.
        webs: Between each hole and the outline, and between neighbouring holes.
        necks: Of steel within one loop.
        gaps: Narrow places to cut within one loop.
        corners: Inside radii and sharp inside corners.
        unsought: Whether webs or necks were left out, because there are too many holes or pieces.
        crossed: Number of loops that were left out, because they cross themselves or stay open.
    """

    holes: tuple[Narrow, ...]
    webs: tuple[Narrow, ...]
    necks: tuple[Narrow, ...]
    gaps: tuple[Narrow, ...]
    corners: tuple[Narrow, ...]
    unsought: bool
    crossed: int


def find_narrows(nest: NestedLoops) -> Narrows:
    """Measure holes, webs, necks, gaps and inside corners of a part; loops that cross themselves are left out."""
    loops = [(loop, hole) for loop, hole in loops_of(nest) if loop.polygon.is_valid and loop.closed]
    narrow: list[Narrow] = []
    unsought = False
    for loop, hole in loops:
        if loop.circle is None:
            told = necks(loop, hole=hole)
            unsought |= told is None
            narrow += told or ()
    corners = [
        narrow_place for loop, hole in loops if loop.circle is None for narrow_place in _corners(loop, hole=hole)
    ]
    between = narrow_webs(nest)
    return Narrows(
        holes=hole_widths(nest.holes),
        webs=between or (),
        necks=tuple(narrow_place for narrow_place in narrow if narrow_place.what == "neck"),
        gaps=tuple(narrow_place for narrow_place in narrow if narrow_place.what == "gap"),
        corners=tuple(corners),
        unsought=unsought or between is None,
        crossed=1 + len(nest.holes) - len(loops),
    )


def _corners(loop: Loop, *, hole: bool) -> Iterator[Narrow]:
    """Inside corners and radii, but for the joints of curves that are drawn as chords: those are told once."""
    skipped = chord_joints(loop.segments)
    return inside_corners(loop.segments, hole=hole, sharp_deg=_SHARP_DEG, skipped=skipped)


def loops_of(nest: NestedLoops) -> Iterator[tuple[Loop, bool]]:
    """Outline and holes, each with whether it is a hole."""
    if nest.outline is not None:
        yield nest.outline, False
    yield from ((loop, True) for loop in nest.holes)

"""Curves of a cut file that are drawn as many straight pieces."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.segments import Segments
from bladegeom.cutfile.cut_measures import turns
from bladegeom.quantities.tolerances import SHOP

_CORNER_DEG = 29.0
"""A joint that turns by less may belong to a curve: a circle of 16 lines turns by 22.5 degrees, a polygon of 12, which
may be meant, by 30; own choice."""

_SMOOTH_DEG = 1e-3
"""Pieces that turn by less are one line cut in two, where they are long; own choice."""

_SHORT = 2.0
"""Pieces no longer than this are chords whichever way they turn, mm: rounded numbers make them tremble; own choice."""

_MANY = 12
"""So many joints in a row are a curve; own choice."""

_FEW, _FILLET_DEG, _FILLET = 3, 30.0, 6.0
"""And so many, if they turn by so much together and no piece is longer, mm: a fillet; own choice."""


def chord_joints(segments: Segments) -> npt.NDArray[np.bool_]:
    """Which ends of a closed loop's segments lie within a curve that is drawn as straight pieces, shape (n,)."""
    out = np.zeros(len(segments), dtype=bool)
    turn = np.degrees(turns(segments))
    short = segments.straight & (segments.length <= _SHORT)
    both_short = short & np.roll(short, -1)
    slight = segments.straight & np.roll(segments.straight, -1) & (np.abs(turn) < _CORNER_DEG)
    slight &= both_short | (np.abs(turn) > _SMOOTH_DEG)
    # A run goes on from a joint to the next one if they turn the same way, or if trembling does not count.
    goes_on = slight & np.roll(slight, -1) & ((np.sign(turn) == np.sign(np.roll(turn, -1))) | np.roll(both_short, -1))
    first = 0 if goes_on.all() else int(np.flatnonzero(~goes_on)[0]) + 1
    order = (first + np.arange(len(out))) % len(out)
    breaks = np.flatnonzero(~goes_on[order]) + 1
    for run in np.split(order, breaks):
        if len(run) >= _FEW and slight[run].all() and _is_curve(segments, turn, run):
            out[run] = True
    return out


def _is_curve(segments: Segments, turn: FloatArray, run: npt.NDArray[np.int64]) -> bool:
    ends = segments.end[run]
    if not _leaves_line(segments.start[run[0]], segments.end[(run[-1] + 1) % len(segments)], ends):
        return False
    if len(run) >= _MANY:
        return True
    return bool(abs(turn[run].sum()) >= _FILLET_DEG and segments.length[run[1:]].max() <= _FILLET)


def _leaves_line(start: FloatArray, end: FloatArray, places: FloatArray) -> bool:
    """Whether places lie beside the line from start to end."""
    along = end - start
    size = float(np.hypot(*along))
    arm = places - start
    if size < SHOP:
        return bool(np.hypot(*arm.T).max() > SHOP)
    return bool(np.abs(arm[:, 0] * along[1] - arm[:, 1] * along[0]).max() / size > SHOP)

"""Outlines as somebody else would draw or trace them: marks, scattered points, loops."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bladegeom.curves.curve import Curve, FloatArray, Vector
from bladegeom.curves.flatten import flatten
from bladegeom.curves.meet import nearest
from bladegeom.outline.landmarks import Landmarks
from bladegeom.outline.outline import Outline


def marks_of(outline: Outline, place: Callable[[Vector], Vector] = lambda p: p) -> Landmarks:
    """All landmarks as points, carried to where the drawing has them."""
    return Landmarks(
        handle_front=place((0.0, 0.0)),
        heel=place(outline.heel),
        tip=place(outline.tip),
        front_bottom=place(outline.front_bottom),
        butt_top=place(outline.butt.start),
        butt_bottom=place(outline.butt.end),
    )


def apart(curve: Curve, other: Curve) -> float:
    """Greatest distance from either line to the other, mm."""
    a, b = (flatten(c, 2e-3) for c in (curve, other))
    return max(float(nearest(other, a).distance.max()), float(nearest(curve, b).distance.max()))


def traced(outline: Outline, count: int, noise: float, seed: int) -> tuple[FloatArray, int]:
    """Points round an outline from the heel, each at random within a disc of a radius, mm; the index of the tip."""
    p = flatten(outline.loop, 1e-3)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(p, axis=0).T))])
    at = np.arange(count) / count * along[-1]
    out = np.stack([np.interp(at, along, p[:, i]) for i in (0, 1)], axis=1)
    tip = int(np.hypot(*(out - outline.tip).T).argmin())
    out[tip] = outline.tip
    random = np.random.default_rng(seed)
    turn, size = random.uniform(0, 2 * np.pi, count), noise * np.sqrt(random.uniform(0, 1, count))
    return out + size[:, None] * np.stack([np.cos(turn), np.sin(turn)], axis=1), tip

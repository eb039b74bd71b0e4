"""The shapes of an SVG as chains of cubics, each in its own coordinates."""

from __future__ import annotations

import math
import re

import numpy as np

from bladegeom.importers.svg_path import SubPath, subpaths
from bladegeom.importers.svg_place import user_length
from bladegeom.importers.xml_tree import Element

SHAPES = ("path", "polygon", "polyline", "line", "rect", "circle", "ellipse")

_HANDLE = 4 / 3 * math.tan(math.pi / 24)
"""Handle of a cubic that draws a twelfth of a circle, as a part of the radius."""


def strokes(element: Element) -> list[SubPath]:
    """What an element draws; nothing for one without size.

    Raises:
        ValueError: It cannot be read; the message says why.

    Source:
        SVG 2, chapters 9 and 10.
    """
    a = element.attributes
    if element.name == "path":
        return subpaths(a.get("d", ""))
    if element.name in ("polygon", "polyline"):
        close = "z" if element.name == "polygon" else ""
        return subpaths(f"M{a['points']}{close}") if a.get("points", "").strip() else []
    if element.name == "line":
        x1, y1, x2, y2 = (user_length(a.get(key)) for key in ("x1", "y1", "x2", "y2"))
        return subpaths(f"M{x1!r},{y1!r}L{x2!r},{y2!r}")
    if element.name == "rect":
        return _rect(a)
    cx, cy = (user_length(a.get(key)) for key in ("cx", "cy"))
    if element.name == "circle":
        rx = ry = user_length(a.get("r"))
    else:
        rx, ry = (user_length(a.get(key)) for key in ("rx", "ry"))
    return [_ellipse(cx, cy, rx, ry)] if rx > 0 and ry > 0 else []


def _rect(a: dict[str, str]) -> list[SubPath]:
    x, y, w, h = (user_length(a.get(key)) for key in ("x", "y", "width", "height"))
    if not (w > 0 and h > 0):
        return []
    given = [user_length(a[key]) if re.match(r"\s*[\d.+-]", a.get(key, "")) else None for key in ("rx", "ry")]
    rx, ry = (next((v for v in (radius, other) if v is not None), 0.0) for radius, other in (given, given[::-1]))
    rx, ry = min(rx, w / 2), min(ry, h / 2)
    if not (rx > 0 and ry > 0):
        return subpaths(f"M{x!r},{y!r}h{w!r}v{h!r}h{-w!r}z")
    turn = f"a{rx!r},{ry!r},0,0,1,"
    return subpaths(
        f"M{x + rx!r},{y!r}h{w - 2 * rx!r}{turn}{rx!r},{ry!r}v{h - 2 * ry!r}{turn}{-rx!r},{ry!r}"
        f"h{2 * rx - w!r}{turn}{-rx!r},{-ry!r}v{2 * ry - h!r}{turn}{rx!r},{-ry!r}z"
    )


def _ellipse(cx: float, cy: float, rx: float, ry: float) -> SubPath:
    angles = np.arange(13) * math.pi / 6
    on = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    ahead = _HANDLE * np.stack([-on[:, 1], on[:, 0]], axis=1)
    unit = np.stack([on[:-1], on[:-1] + ahead[:-1], on[1:] - ahead[1:], on[1:]], axis=1)
    return SubPath(np.asarray(unit * np.array([rx, ry]) + np.array([cx, cy])), closed=True)

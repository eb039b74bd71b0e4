"""Where an SVG element lies on its page: lengths, view boxes, transforms."""

from __future__ import annotations

import math
import re
from typing import Final

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.quantities.units import MM_PER_INCH

_INCH: Final = float(MM_PER_INCH)

PX: Final = _INCH / 96
"""mm of a CSS pixel. Source: CSS Values and Units 3, absolute lengths: 96 px are 1 in."""

_MM: Final = {"mm": 1.0, "cm": 10.0, "Q": 0.25, "in": _INCH, "pt": _INCH / 72, "pc": _INCH / 6}
"""Absolute lengths of CSS that say a true size."""

_LENGTH = re.compile(r"([-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?)\s*([a-zA-Z%]*)")
_CALL = re.compile(r"(?:,\s*)?([a-zA-Z]+)\s*\(([^()]*)\)\s*")

_MOST_STEPS, _GREATEST = 1000, 1e9
"""Steps of one transform, and the size of a number; own choice."""

IDENTITY: Final = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])


def true_length(text: str | None) -> float | None:
    """A width or height in mm; None if it is missing, in pixels, or a share of something.

    Raises:
        ValueError: A number beyond all reason.
    """
    match = _LENGTH.fullmatch((text or "").strip())
    return _reasonable(match[1]) * _MM[match[2]] if match and match[2] in _MM else None


def user_length(text: str | None, missing: float = 0.0) -> float:
    """A coordinate in user units; absolute units are turned into CSS pixels.

    Raises:
        ValueError: No length, or a share of something.
    """
    if text is None:
        return missing
    match = _LENGTH.fullmatch(text.strip())
    if not match or not (match[2] in ("", "px") or match[2] in _MM):
        raise ValueError(f"{text[:40]!r} is no length that can be read here")
    return _reasonable(match[1]) * (_MM[match[2]] / PX if match[2] in _MM else 1.0)


def chained(outer: FloatArray, inner: FloatArray) -> FloatArray:
    """The affine map (2, 3) that does ``inner`` first."""
    return np.concatenate([outer[:, :2] @ inner[:, :2], outer[:, :2] @ inner[:, 2:] + outer[:, 2:]], axis=1)


def transform(text: str) -> FloatArray:
    """The map (2, 3) of a transform attribute.

    Raises:
        ValueError: It is none.

    Source:
        CSS Transforms 1, the syntax of the SVG transform attribute.
    """
    out, place, steps = IDENTITY, 0, text.strip()
    for _ in range(_MOST_STEPS):
        if place == len(steps):
            return out
        match = _CALL.match(steps, place)
        if not match:
            raise ValueError(f"the transform {text[:60]!r} cannot be read")
        out = chained(out, _one(match[1], _numbers(match[2]), text))
        place = match.end()
    raise ValueError(f"it has a transform of more than {_MOST_STEPS} steps")


def _numbers(text: str) -> list[float]:
    return [_reasonable(v) for v in re.split(r"[\s,]+", text.strip()) if v]


def _reasonable(text: str) -> float:
    value = float(text)
    if not abs(value) < _GREATEST:
        raise ValueError(f"{text[:40]!r} is a number beyond all reason")
    return value


def _one(kind: str, v: list[float], text: str) -> FloatArray:
    if kind == "matrix" and len(v) == 6:
        return np.array([[v[0], v[2], v[4]], [v[1], v[3], v[5]]])
    if kind == "translate" and len(v) in (1, 2):
        return np.array([[1.0, 0.0, v[0]], [0.0, 1.0, v[1] if len(v) == 2 else 0.0]])
    if kind == "scale" and len(v) in (1, 2):
        return np.array([[v[0], 0.0, 0.0], [0.0, v[-1], 0.0]])
    if kind == "rotate" and len(v) in (1, 3):
        c, s = math.cos(math.radians(v[0])), math.sin(math.radians(v[0]))
        x, y = v[1:] or (0.0, 0.0)
        return np.array([[c, -s, x - c * x + s * y], [s, c, y - s * x - c * y]])
    if kind in ("skewX", "skewY") and len(v) == 1:
        t = math.tan(math.radians(v[0]))
        return np.array([[1.0, t, 0.0], [0.0, 1.0, 0.0]]) if kind == "skewX" else np.array([[1.0, 0, 0], [t, 1.0, 0.0]])
    raise ValueError(f"the transform {text[:60]!r} cannot be read")


def view_box(text: str | None) -> tuple[float, float, float, float] | None:
    """Left, top, width and height of a view box, None if there is none.

    Raises:
        ValueError: It is no box of some size.
    """
    if text is None:
        return None
    values = _numbers(text)
    if len(values) != 4 or not (values[2] > 0 and values[3] > 0):
        raise ValueError(f"the viewBox {text[:60]!r} is no box")
    return values[0], values[1], values[2], values[3]


def viewport(box: tuple[float, float, float, float], width: float, height: float, fit: str | None) -> FloatArray:
    """The map (2, 3) of a view box onto a field of a width and height, by preserveAspectRatio.

    Source:
        SVG 2, section 8.6 and 8.7.
    """
    left, top, w, h = box
    align, *more = (fit or "xMidYMid").split()
    sx, sy = width / w, height / h
    if align != "none":
        sx = sy = max(sx, sy) if more == ["slice"] else min(sx, sy)
    share = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
    fx, fy = share.get(align[1:4], 0.0), share.get(align[5:8], 0.0)
    return np.array([[sx, 0.0, fx * (width - sx * w) - sx * left], [0.0, sy, fy * (height - sy * h) - sy * top]])

"""SVG as text for a page that brings its own colours: shapes in mm, y up, each with a class and no style.

The writers draw for paper, where every line has its pen; here a style sheet decides, light or dark, on a screen.
"""

from __future__ import annotations

import html
from collections.abc import Iterable

from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.quantities.lettering import one_line

Box = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y, mm."""


def millimetres(value: float) -> str:
    """A coordinate to a thousandth of a millimetre, never -0."""
    return f"{value:z.3f}".rstrip("0").rstrip(".")


def text(words: str) -> str:
    """Words that may stand in any element or attribute."""
    return html.escape(one_line(words))


def curve_path(curve: Curve, kind: str, title: str = "", *, closed: bool = False) -> str:
    """A curve as Beziers."""
    pieces = curve.pieces * (1.0, -1.0)
    first, rest = pieces[0, 0].tolist(), pieces[:, 1:].reshape(-1, 6).tolist()
    start = " ".join(map(millimetres, first))
    steps = [f"M{start}", *("C" + " ".join(map(millimetres, row)) for row in rest)]
    return _path("".join(steps) + ("Z" if closed else ""), kind, title)


def polyline(points: FloatArray, kind: str, title: str = "", *, closed: bool = False) -> str:
    """Points (n, 2) joined by straight lines."""
    steps = "L".join(f"{millimetres(x)} {millimetres(-y)}" for x, y in points.tolist())
    return _path(f"M{steps}" + ("Z" if closed else ""), kind, title)


def circle(x: float, y: float, radius: float, kind: str, title: str = "") -> str:
    """A circle."""
    place = f'cx="{millimetres(x)}" cy="{millimetres(-y)}" r="{millimetres(radius)}"'
    return f'<circle class="{kind}" {place}{_end("circle", title)}'


def svg_picture(shapes: Iterable[str], box: Box, kind: str, title: str, words: str = "", *, margin: float = 0.0) -> str:
    """Shapes as a whole picture that shows a box and a margin round it.

    Args:
        shapes: Elements, the lowest first.
        box: What is shown, mm.
        kind: Class of the picture.
        title: Read out in its place.
        words: Read out after the title.
        margin: mm.
    """
    x0, y0, x1, y1 = box
    sides = (x0 - margin, -y1 - margin, x1 - x0 + 2 * margin, y1 - y0 + 2 * margin)
    view = " ".join(map(millimetres, sides))
    head = f'<svg xmlns="http://www.w3.org/2000/svg" class="{kind}" role="img" viewBox="{view}">'
    told = f"<desc>{text(words)}</desc>" if words else ""
    return f"{head}<title>{text(title)}</title>{told}{''.join(shapes)}</svg>"


def _path(steps: str, kind: str, title: str) -> str:
    return f'<path class="{kind}" d="{steps}"{_end("path", title)}'


def _end(name: str, title: str) -> str:
    return f"><title>{text(title)}</title></{name}>" if title else "/>"

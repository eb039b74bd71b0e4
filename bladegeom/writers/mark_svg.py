"""A mark as SVG at true size: one path, filled, on a page that is just its field."""

from __future__ import annotations

import svgwrite

from bladegeom.drawing.drawing import Drawing, Path
from bladegeom.quantities.lettering import one_line
from bladegeom.writers.svg import number


def mark_svg(drawing: Drawing, *, width: float, height: float, told: str) -> bytes:
    """The mark, black, with nothing behind it.

    Args:
        drawing: Its closed lines round the origin, of straight pieces, mm.
        width: Of its field, mm.
        height: Of its field, mm.
        told: What a reader of the file's description should know.
    """
    left, top = number(-width / 2), number(-height / 2)
    doc = svgwrite.Drawing(
        size=(f"{number(width)}mm", f"{number(height)}mm"),
        viewBox=f"{left} {top} {number(width)} {number(height)}",
        debug=False,
    )
    doc.set_desc(title=one_line(drawing.name), desc=one_line(f"{told}; made by bladegeom"))
    rings = [item for item in drawing.items if isinstance(item, Path)]
    steps = "".join(_ring(item) for item in rings)
    doc.add(doc.path(d=steps, fill="#000", stroke="none", fill_rule="evenodd", class_=rings[0].layer if rings else ""))
    return str(doc.tostring()).encode()


def _ring(item: Path) -> str:
    """Corners alone: the last leads back to the first."""
    places = [f"{number(x)} {number(-y)}" for x, y in item.curve.pieces[:, 0].tolist()]
    return f"M{'L'.join(places)}Z"

"""An outline from an SVG, such as every drawing program writes."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.importers.lines import Lines
from bladegeom.importers.loops import DrawnKnife, drawn_knife
from bladegeom.importers.scale import KnownLength, KnownScale, scaled
from bladegeom.importers.source import read_bytes
from bladegeom.importers.svg_place import PX, chained, true_length, view_box, viewport
from bladegeom.importers.svg_shapes import strokes
from bladegeom.importers.svg_walk import Drawn, walk
from bladegeom.importers.xml_tree import Element, parse_xml
from bladegeom.outline.landmarks import Landmarks
from bladegeom.quantities.errors import BladegeomError
from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.quantities.lettering import visible

_SIZE_TOLD_BY: Final = (
    "a length that you know: length_between=((x1, y1), (x2, y2), mm), or blade_length=mm with tip and handle_front as "
    "points"
)

_UP: Final = np.array([[1.0, 0.0, 0.0], [0.0, -1.0, 0.0]])


def outline_from_svg(
    path: str | Path,
    marks: Landmarks,
    *,
    only: str | None = None,
    length_between: KnownLength | None = None,
    blade_length: float | None = None,
    fair_within: float | None = None,
) -> DrawnKnife:
    """The outline in an SVG, and the circles and other closed lines within it.

    The outline is the largest closed line; what is hidden (by attributes, styles or style sheets; ``left_out`` of the
    result names it), and a background as large as the page, are left out. The
    size is that of the page in mm, cm, in or pt; a page in pixels or without a size says nothing of the knife's.

    Args:
        path: The file.
        marks: Where the parts begin; points in units of the view box, y down, as they stand in the file.
        only: An id, a label, a class or a layer's name: only what bears it, or lies in a group that does, is read.
        length_between: Two points and the mm between them, for a file without a true size, or to overrule it.
        blade_length: mm along the knife from ``handle_front`` to ``tip``, both given as points; for the same.
        fair_within: Replace the line by few fair curves that pass it no farther off, mm.

    Raises:
        UnreadableFileError: No SVG, no size, no outline or two; the message says where and what to do.
        ParameterError: A landmark or a known length that does not fit the drawing.

    >>> path = folder / "knife.svg"
    >>> from bladegeom import Landmarks
    >>> _ = path.write_text(knife.outline._repr_svg_())
    >>> drawn = outline_from_svg(path, Landmarks(handle_front=110.0, heel=110.0 - knife.outline.heel[0]))
    >>> round(drawn.outline.tip[0], 2), round(drawn.outline.area) == round(knife.outline.area)
    (110.0, True)
    """
    name, data = str(path), read_bytes(path)
    root = parse_xml(data, name)
    if root.name != "svg":
        raise UnreadableFileError(name, f"the file is no SVG: its root is {root.name[:40]!r}")
    try:
        known = KnownScale(length_between=length_between, blade_length=blade_length)
        to_mm = _page(root, name, known, marks)
        lines = Lines(name, to_mm, size_told_by="" if known.is_told else _SIZE_TOLD_BY)
        walked = walk(root)
        lines.left_out.update(walked.hidden)
        _fill(lines, walked.drawn, root, only)
    except BladegeomError:
        raise
    except ValueError as error:
        raise UnreadableFileError(name, f"the file cannot be read: {error}") from error
    return drawn_knife(lines, marks, fair_within)


def _page(root: Element, name: str, known: KnownScale, marks: Landmarks) -> FloatArray:
    """Map from user units of the root, y down, to mm, y up."""
    a = root.attributes
    box = view_box(a.get("viewBox"))
    per_unit = known.mm_per_unit(marks)
    width, height = true_length(a.get("width")), true_length(a.get("height"))
    if width is None and height is None:
        if per_unit is None:
            raise UnreadableFileError(
                name,
                "the file does not say its true size (the page's width and height are missing, or in pixels); set the "
                f"page to mm in the drawing program, or tell {_SIZE_TOLD_BY}",
            )
        return scaled(_UP, per_unit)
    if box is None:
        return scaled(_UP * PX, per_unit)
    # A side that is not told follows from the other by the shape of the view box.
    across = box[2] / box[3]
    width = width if width is not None else (height or 0.0) * across
    height = height if height is not None else width / across
    if not (width > 0 and height > 0):
        raise UnreadableFileError(name, "the file has a page of no size")
    return scaled(chained(_UP, viewport(box, width, height, a.get("preserveAspectRatio"))), per_unit)


def _fill(lines: Lines, found: Sequence[Drawn], root: Element, only: str | None) -> None:
    """Put all shapes, or those of a name, among the lines."""
    chosen = [drawn for drawn in found if only is None or only in drawn.names]
    if only is not None and not chosen:
        known = sorted({n for drawn in found for n in drawn.names})
        some = ", ".join(known[:12]) + (" ..." if len(known) > 12 else "")
        raise lines.failed(f"the file has nothing called {only!r}; it has: {visible(some) or 'no names at all'}")
    for drawn in chosen:
        whole = chained(lines.to_mm, drawn.matrix)
        if _is_paper(drawn, root):
            continue
        if drawn.element.name == "circle" and _is_even(whole):
            (stroke,) = strokes(drawn.element) or (None,)
            if stroke is not None:
                ring = stroke.pieces[:, 0] @ whole[:, :2].T + whole[:, 2]
                centre = ring.mean(axis=0)
                lines.circles.append((float(centre[0]), float(centre[1]), float(np.hypot(*(ring[0] - centre)))))
            continue
        for stroke in strokes(drawn.element):
            lines.add(stroke.pieces @ whole[:, :2].T + whole[:, 2], closed=stroke.closed, names=drawn.names)


def _is_even(matrix: FloatArray) -> bool:
    """Whether a circle stays a circle."""
    a = matrix[:, :2].T @ matrix[:, :2]
    return bool(abs(a[0, 1]) < 1e-6 * a[0, 0] and abs(a[0, 0] - a[1, 1]) < 1e-6 * a[0, 0])


def _is_paper(drawn: Drawn, root: Element) -> bool:
    """A rectangle without a border that is as large as the view box: the background."""
    if drawn.element.name != "rect":
        return False
    a = drawn.element.attributes
    box = view_box(root.attributes.get("viewBox"))
    bare = drawn.stroke in ("none", "transparent")
    if a.get("width", "").endswith("%"):
        return bare
    if box is None or not bare:
        return False
    drawn_lines = strokes(drawn.element)
    if not drawn_lines:
        # Without a width or a height it is not drawn at all.
        return False
    corners = drawn_lines[0].pieces[:, 0] @ drawn.matrix[:, :2].T + drawn.matrix[:, 2]
    size = corners.max(axis=0) - corners.min(axis=0)
    return bool(size[0] >= 0.99 * box[2] and size[1] >= 0.99 * box[3])

"""What an SVG fills, as artwork: for a mark, whose size its field decides."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.curves.flatten import flatten
from bladegeom.importers.source import read_bytes
from bladegeom.importers.svg_shapes import strokes
from bladegeom.importers.svg_walk import Drawn, walk
from bladegeom.importers.xml_tree import Element, parse_xml
from bladegeom.outline.artwork import Artwork
from bladegeom.outline.filled import filled_region, rings_of_region
from bladegeom.quantities.errors import BladegeomError
from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.quantities.lettering import visible

_PAINT: Final = {
    "fill": "black",
    "fill-rule": "nonzero",
    "opacity": "1",
    "fill-opacity": "1",
    "clip-path": "none",
    "mask": "none",
}
"""What decides about what is filled, each as it is where nobody says it. Source: SVG 2, chapters 3, 13 and 14."""

_OPAQUE: Final = frozenset(("1", "1.0", "100%"))

_NO_LINES: Final = {
    "text": "has text; turn it into paths, so that its letters stay as they are",
    "image": "has a picture of pixels; trace it into paths",
}

_WHITE: Final = re.compile(
    r"white|#fff|#ffffff|rgb\(\s*255\s*,\s*255\s*,\s*255\s*\)|rgb\(\s*100%\s*,\s*100%\s*,\s*100%\s*\)"
)

_CHORD = 5e-5
"""Greatest distance of a chord from its curve, as a part of the drawing's longer side: 1 micrometre on 20 mm."""

_MOST_PLACES = 50_000
"""Of all borders; own choice: a sign of a hundred letters has 5000."""


def artwork_from_svg(path: str | Path) -> Artwork:
    """What is filled in an SVG, in the order in which it is painted: white takes away what lies under it.

    Its size counts for nothing. Lines without a filling, text, pictures, gradients and masks are refused, as a mark
    needs outlines: a drawing program makes them of all of these.

    Args:
        path: The file.

    Raises:
        UnreadableFileError: No SVG, nothing filled in it, or something that is no outline; the message says what to do.

    >>> import dataclasses
    >>> from bladegeom import Design, MarkZone, mark_files
    >>> mark = MarkZone(x=19.5, y=-6.0, width=9.0, height=4.0, text="DECK 1", made="laser")
    >>> (files,) = mark_files(Design(dataclasses.replace(knife, zones=(mark,))))
    >>> _, path, *_ = sorted(files.save(folder), key=lambda path: path.suffix)[1:]
    >>> len(artwork_from_svg(path).rings)
    6
    """
    name = str(path)
    root = parse_xml(read_bytes(path), name)
    if root.name != "svg":
        raise UnreadableFileError(name, f"the file is no SVG: its root is {root.name[:40]!r}")
    try:
        _require_lines(root)
        region = _painted(walk(root, _PAINT).drawn)
    except BladegeomError:
        raise
    except ValueError as error:
        raise UnreadableFileError(name, f"the file cannot be read: {error}") from error
    if not region.area > 0:
        raise UnreadableFileError(name, "the file fills nothing; give its shapes a black filling and no border")
    rings = rings_of_region(region)
    if sum(map(len, rings)) > _MOST_PLACES:
        raise UnreadableFileError(name, f"the file has borders of more than {_MOST_PLACES} places; simplify its paths")
    return Artwork(rings=rings)


def _require_lines(root: Element) -> None:
    waiting = [root]
    while waiting:
        element = waiting.pop()
        if element.name in _NO_LINES:
            raise ValueError(f"it {_NO_LINES[element.name]}")
        waiting += element.children


def _painted(drawn: list[Drawn]) -> BaseGeometry:
    """Shapes over each other, scaled so that the longer side of all is 1000, y up."""
    found = [(each, _chains(each)) for each in drawn]
    every = [chain.reshape(-1, 2) for _, chains in found for chain in chains]
    if not every:
        return shapely.Polygon()
    places = np.concatenate(every)
    if not np.isfinite(places).all():
        raise ValueError("it has a place that is no number")
    longer = float(np.ptp(places, axis=0).max())
    if not longer > 0:
        return shapely.Polygon()
    unit = 1000.0 / longer * np.array([1.0, -1.0])
    low = places.min(axis=0)
    region: BaseGeometry = shapely.Polygon()
    for each, chains in found:
        _require_plain(each)
        if each.paint["fill"] in ("none", "transparent"):
            continue
        rings = [flatten(Curve((chain - low) * unit), 1000 * _CHORD) for chain in chains]
        shape = filled_region(rings, even_odd=each.paint["fill-rule"] == "evenodd")
        takes = _WHITE.fullmatch(each.paint["fill"]) is not None
        region = shapely.difference(region, shape) if takes else shapely.union(region, shape)
    return region


def _chains(drawn: Drawn) -> list[FloatArray]:
    """Cubics of each line, shape (k, 4, 2); one that is open is filled as if it were closed."""
    m = drawn.matrix
    return [stroke.pieces @ m[:, :2].T + m[:, 2] for stroke in strokes(drawn.element) if len(stroke.pieces)]


def _require_plain(drawn: Drawn) -> None:
    """Refuse what would be read otherwise than it looks."""
    for what in _odd(drawn):
        label = next(iter(sorted(drawn.names)), "")
        named = f" {visible(label)!r}" if label else ""
        raise ValueError(f"its {visible(drawn.element.name)}{named} {what}")


def _odd(drawn: Drawn) -> Iterator[str]:
    paint = drawn.paint
    if drawn.stroke not in ("none", "transparent"):
        yield "has a border; turn it into an outline (stroke to path), or take it away"
    if paint["fill"].startswith("url("):
        yield "is filled with a gradient or a pattern; give it a plain black"
    if not _OPAQUE.issuperset((paint["opacity"], paint["fill-opacity"])):
        yield "is half seen through; make it opaque"
    if paint["clip-path"] != "none" or paint["mask"] != "none":
        yield "is clipped or masked; cut it off in the drawing program"

"""Every shape that an SVG draws, hidden ones left out and copies followed, with where it lies."""

from __future__ import annotations

import dataclasses
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.importers.svg_place import IDENTITY, chained, transform, user_length, view_box, viewport
from bladegeom.importers.svg_shapes import SHAPES
from bladegeom.importers.svg_style import Styles
from bladegeom.importers.xml_tree import Element
from bladegeom.quantities.lettering import visible

_UNSEEN: Final = frozenset(("defs", "symbol", "clipPath", "mask", "marker", "pattern", "metadata", "foreignObject"))
"""Elements whose content is not drawn where it stands. Source: SVG 2, chapter 5."""

_MOST_MET, _DEEPEST = 50_000, 300
"""Elements met, those in copies counted each time, and groups and copies within each other; own choice."""


@dataclass(frozen=True)
class Drawn:
    """A shape, the map (2, 3) from its coordinates to the root's, and the names by which a maker may call it.

    ``stroke`` is how its border is drawn, "none" for no border. ``paint`` is what was asked for besides, by property.
    """

    element: Element
    matrix: FloatArray
    names: frozenset[str]
    stroke: str
    paint: Mapping[str, str]


@dataclass(frozen=True)
class Walked:
    """All shapes in the order of the file, and what is hidden, in words, with how often."""

    drawn: list[Drawn]
    hidden: Counter[str]


@dataclass(frozen=True)
class _Inherited:
    """What an element has from those around it."""

    matrix: FloatArray
    names: frozenset[str] = frozenset()
    depth: int = 0
    visibility: str = "visible"
    stroke: str = "none"
    paint: Mapping[str, str] = field(default_factory=dict)


def walk(root: Element, paint: Mapping[str, str] | None = None) -> Walked:
    """What an SVG draws, and what it hides.

    Args:
        root: Of the file.
        paint: Properties besides that are handed down, by name, each with what it is where nobody says it.

    Raises:
        ValueError: Copies without end or of nothing, styles that are not read, or a transform or length that cannot be
            read.
    """
    walker = _Walk(root, frozenset(paint or {}))
    drawn = list(walker.within(root, walker.inherited(root, _Inherited(IDENTITY, paint=paint or {}))))
    return Walked(drawn, walker.hidden)


class _Walk:
    def __init__(self, root: Element, also: frozenset[str]) -> None:
        self._by_id = _named(root)
        self._styles = Styles(root, also)
        self._met = 0
        self.hidden = Counter[str]()

    def inherited(self, element: Element, around: _Inherited) -> _Inherited:
        """The same with what the styles of an element hand down."""
        visibility, stroke = (self._handed(element, name) for name in ("visibility", "stroke"))
        return dataclasses.replace(
            around,
            visibility=visibility or around.visibility,
            stroke=stroke or around.stroke,
            paint={name: self._handed(element, name) or value for name, value in around.paint.items()},
        )

    def _handed(self, element: Element, name: str) -> str:
        """What an element says of a property itself, "" if it takes it from those around it."""
        value = self._styles.said(element, name) or ""
        return "" if value in ("inherit", "unset") else value

    def _hide(self, element: Element) -> None:
        label = element.attributes.get("label") or element.attributes.get("id") or ""
        self.hidden[f"{visible(element.name)} {visible(label)!r}, hidden" if label else f"{element.name}, hidden"] += 1

    def within(self, element: Element, around: _Inherited) -> Iterator[Drawn]:
        """The shapes inside an element."""
        if around.depth > _DEEPEST:
            raise ValueError(f"it has groups and copies within each other more than {_DEEPEST} deep")
        for child in element.children:
            self._met += 1
            if self._met > _MOST_MET:
                raise ValueError(f"it draws more than {_MOST_MET} elements, copies counted; unlink the copies")
            if child.name in _UNSEEN:
                continue
            if self._styles.said(child, "display") == "none":
                self._hide(child)
                continue
            self._styles.require_unmoved(child)
            here = self.inherited(child, _within(child, around))
            yield from self._entered(child, here)

    def _entered(self, element: Element, here: _Inherited) -> Iterator[Drawn]:
        """What an element draws by itself, or the shapes within it."""
        if element.name in SHAPES:
            if here.visibility in ("hidden", "collapse"):
                self._hide(element)
            else:
                yield Drawn(element, here.matrix, here.names, here.stroke, here.paint)
        elif element.name == "use":
            yield from self._used(element, here)
        else:
            page = _nested(element) if element.name == "svg" else IDENTITY
            yield from self.within(element, dataclasses.replace(here, matrix=chained(here.matrix, page)))

    def _used(self, use: Element, here: _Inherited) -> Iterator[Drawn]:
        """A copy of an element that stands elsewhere in the file."""
        target = use.attributes.get("href", "").removeprefix("#")
        element = self._by_id.get(target)
        if element is None:
            raise ValueError(f"it uses {target[:40]!r}, which is not in the file")
        if element.name in ("symbol", "svg") and "viewBox" in element.attributes:
            raise ValueError(f"it uses the symbol {target[:40]!r} with a view box; unlink the copy and save again")
        moved = chained(here.matrix, _shift(use))
        holder = Element("g", {}, element.children if element.name == "symbol" else [element])
        yield from self.within(holder, dataclasses.replace(here, matrix=moved, depth=here.depth + 1))


def _within(element: Element, around: _Inherited) -> _Inherited:
    a = element.attributes
    return dataclasses.replace(
        around,
        matrix=chained(around.matrix, transform(a.get("transform", ""))),
        names=around.names | {v for key in ("id", "label") if (v := a.get(key))} | set(a.get("class", "").split()),
        depth=around.depth + 1,
    )


def _named(root: Element) -> dict[str, Element]:
    """Elements by their id; of two with one id the first."""
    out: dict[str, Element] = {}
    waiting = [root]
    while waiting:
        element = waiting.pop()
        if name := element.attributes.get("id"):
            out.setdefault(name, element)
        waiting += reversed(element.children)
    return out


def _shift(element: Element) -> FloatArray:
    x, y = (user_length(element.attributes.get(key)) for key in ("x", "y"))
    return np.array([[1.0, 0.0, x], [0.0, 1.0, y]])


def _nested(svg: Element) -> FloatArray:
    """The map from the user units of a page within the page."""
    a, box = svg.attributes, view_box(svg.attributes.get("viewBox"))
    if box is None:
        return _shift(svg)
    width, height = user_length(a.get("width"), box[2]), user_length(a.get("height"), box[3])
    return chained(_shift(svg), viewport(box, width, height, a.get("preserveAspectRatio")))

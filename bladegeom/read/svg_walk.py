"""Every shape that an SVG draws, hidden ones left out and copies followed, with where it lies."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.read.svg_place import IDENTITY, chained, transform, user_length, view_box, viewport
from bladegeom.read.svg_shapes import SHAPES
from bladegeom.read.xml_tree import Element

_UNSEEN: Final = frozenset(("defs", "symbol", "clipPath", "mask", "marker", "pattern", "metadata", "foreignObject"))
"""Elements whose content is not drawn where it stands. Source: SVG 2, chapter 5."""

_MOST_MET, _DEEPEST = 50_000, 300
"""Elements met, those in copies counted each time, and groups and copies within each other; own choice."""


@dataclass(frozen=True)
class Drawn:
    """A shape, the map (2, 3) from its coordinates to the root's, and the names by which a maker may call it."""

    element: Element
    matrix: FloatArray
    names: frozenset[str]


@dataclass(frozen=True)
class _Inherited:
    """What an element has from those around it."""

    matrix: FloatArray
    names: frozenset[str] = frozenset()
    depth: int = 0


def walk(root: Element) -> list[Drawn]:
    """All shapes in the order of the file.

    Raises:
        ValueError: Copies without end or of nothing, or a transform or length that cannot be read.
    """
    return list(_Walk(root).within(root, _Inherited(IDENTITY)))


def style(attributes: dict[str, str]) -> dict[str, str]:
    """The properties in a style attribute."""
    parts = (part.partition(":") for part in attributes.get("style", "").split(";"))
    return {key.strip(): value.strip() for key, _, value in parts if value}


class _Walk:
    def __init__(self, root: Element) -> None:
        self._by_id = _named(root)
        self._met = 0

    def within(self, element: Element, around: _Inherited) -> Iterator[Drawn]:
        """The shapes inside an element."""
        if around.depth > _DEEPEST:
            raise ValueError(f"it has groups and copies within each other more than {_DEEPEST} deep")
        for child in element.children:
            self._met += 1
            if self._met > _MOST_MET:
                raise ValueError(f"it draws more than {_MOST_MET} elements, copies counted; unlink the copies")
            if child.name in _UNSEEN or _said(child, "display") == "none":
                continue
            here = _entered(child, around)
            if child.name in SHAPES:
                if _said(child, "visibility") not in ("hidden", "collapse"):
                    yield Drawn(child, here.matrix, here.names)
            elif child.name == "use":
                yield from self._used(child, here)
            else:
                page = _nested(child) if child.name == "svg" else IDENTITY
                yield from self.within(child, _Inherited(chained(here.matrix, page), here.names, here.depth))

    def _used(self, use: Element, here: _Inherited) -> Iterator[Drawn]:
        """A copy of an element that stands elsewhere in the file."""
        target = use.attributes.get("href", "").removeprefix("#")
        one = self._by_id.get(target)
        if one is None:
            raise ValueError(f"it uses {target[:40]!r}, which is not in the file")
        if one.name in ("symbol", "svg") and "viewBox" in one.attributes:
            raise ValueError(f"it uses the symbol {target[:40]!r} with a view box; unlink the copy and save again")
        moved = chained(here.matrix, _shift(use))
        holder = Element("g", {}, one.children if one.name == "symbol" else [one])
        yield from self.within(holder, _Inherited(moved, here.names, here.depth + 1))


def _said(element: Element, name: str) -> str | None:
    """A property, from the style before the attribute."""
    return style(element.attributes).get(name, element.attributes.get(name))


def _entered(element: Element, around: _Inherited) -> _Inherited:
    a = element.attributes
    if "transform" in style(a):
        raise ValueError("it has a transform within a style; save it again as plain SVG")
    return _Inherited(
        chained(around.matrix, transform(a.get("transform", ""))),
        around.names | {v for key in ("id", "label") if (v := a.get(key))} | set(a.get("class", "").split()),
        around.depth + 1,
    )


def _named(root: Element) -> dict[str, Element]:
    """Elements by their id; of two with one id the first."""
    out: dict[str, Element] = {}
    waiting = [root]
    while waiting:
        one = waiting.pop()
        if name := one.attributes.get("id"):
            out.setdefault(name, one)
        waiting += reversed(one.children)
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

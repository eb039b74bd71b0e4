"""XML from somebody else, read with the standard library's parser, entities refused and sizes bounded."""

from __future__ import annotations

from dataclasses import dataclass, field
from xml.parsers import expat

from bladegeom.quantities.errors import UnreadableFileError

_MOST_ELEMENTS, _DEEPEST = 50_000, 200
"""No drawing of a knife has more elements, or groups within groups; own choice."""


@dataclass
class Element:
    """One element: its name and attributes without namespace prefixes, and what lies within it."""

    name: str
    attributes: dict[str, str]
    children: list[Element] = field(default_factory=list)


def parse_xml(data: bytes, name: str) -> Element:
    """The root element.

    Entities are refused when declared: whoever can declare one can make a small file swell without bound or reach for
    other files. Nothing outside the file is ever opened.

    Raises:
        UnreadableFileError: No well-formed XML, an entity declared, or too much in it.
    """
    parser = expat.ParserCreate(namespace_separator=" ")
    top = Element("", {})
    stack, count = [top], 0

    def start(tag: str, attributes: dict[str, str]) -> None:
        nonlocal count
        count += 1
        if count > _MOST_ELEMENTS:
            raise UnreadableFileError(
                name, f"has more than {_MOST_ELEMENTS} elements; save the outline in a file of its own"
            )
        if len(stack) > _DEEPEST:
            raise UnreadableFileError(name, f"has groups nested more than {_DEEPEST} deep; ungroup and save again")
        one = Element(_bare(tag), {_bare(key): value for key, value in attributes.items()})
        stack[-1].children.append(one)
        stack.append(one)

    def end(_: str) -> None:
        stack.pop()

    def entity(*_: object) -> None:
        raise UnreadableFileError(name, "declares entities, which are not read; save it again as plain SVG")

    parser.StartElementHandler, parser.EndElementHandler = start, end
    parser.EntityDeclHandler = entity
    parser.ExternalEntityRefHandler = entity  # type: ignore[assignment]
    try:
        parser.Parse(data, True)  # noqa: FBT003
    except expat.ExpatError as error:
        raise UnreadableFileError(name, f"is no well-formed XML: {error}") from error
    return top.children[0]


def _bare(name: str) -> str:
    return name.rpartition(" ")[2]

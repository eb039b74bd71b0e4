"""XML from somebody else, read with the standard library's parser, entities refused and sizes bounded."""

from __future__ import annotations

from dataclasses import dataclass, field
from xml.parsers import expat

from bladegeom.quantities.file_errors import UnreadableFileError

_MOST_ELEMENTS, _DEEPEST = 50_000, 200
"""No drawing of a knife has more elements, or groups within groups; own choice."""


@dataclass
class Element:
    """One element: its name and attributes without namespace prefixes, and what lies within it.

    Of text only that of a style sheet is kept.
    """

    name: str
    attributes: dict[str, str]
    children: list[Element] = field(default_factory=list)
    text: str = ""


def parse_xml(data: bytes, name: str) -> Element:
    """The root element.

    Entities are refused when declared: whoever can declare one can make a small file swell without bound or reach for
    other files. Nothing outside the file is ever opened.

    Raises:
        UnreadableFileError: No well-formed XML, an entity declared, or too much in it.
    """
    parser = expat.ParserCreate(namespace_separator=" ")
    tree = _Tree(name)
    parser.StartElementHandler, parser.EndElementHandler = tree.start, tree.end
    parser.CharacterDataHandler, parser.ProcessingInstructionHandler = tree.text, tree.instruction
    parser.EntityDeclHandler = tree.entity
    parser.ExternalEntityRefHandler = tree.entity  # type: ignore[assignment]
    try:
        parser.Parse(data, True)  # noqa: FBT003
    except LookupError as error:
        raise UnreadableFileError(
            name, f"the file names a way of writing letters that is not known: {error}"
        ) from error
    except expat.ExpatError as error:
        raise UnreadableFileError(name, f"the file is no well-formed XML: {error}") from error
    return tree.top.children[0]


class _Tree:
    """What grows while the parser reads."""

    def __init__(self, name: str) -> None:
        self.top = Element("", {})
        self._name = name
        self._stack, self._count = [self.top], 0
        self._words: list[str] = []

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        self._count += 1
        if self._count > _MOST_ELEMENTS:
            raise UnreadableFileError(
                self._name, f"the file has more than {_MOST_ELEMENTS} elements; save the outline in a file of its own"
            )
        if len(self._stack) > _DEEPEST:
            raise UnreadableFileError(
                self._name, f"the file has groups nested more than {_DEEPEST} deep; ungroup and save again"
            )
        element = Element(_bare(tag), {_bare(key): value for key, value in attributes.items()})
        self._stack[-1].children.append(element)
        self._stack.append(element)

    def end(self, _: str) -> None:
        element = self._stack.pop()
        if element.name == "style":
            element.text = "".join(self._words)
            self._words.clear()

    def text(self, data: str) -> None:
        if self._stack[-1].name == "style":
            self._words.append(data)

    def instruction(self, target: str, _: str) -> None:
        if target == "xml-stylesheet":
            raise UnreadableFileError(
                self._name, "the file takes its styles from another file; save it again as plain SVG"
            )

    def entity(self, *_: object) -> None:
        raise UnreadableFileError(
            self._name, "the file declares entities, which are not read; save it again as plain SVG"
        )


def _bare(name: str) -> str:
    return name.rpartition(" ")[2]

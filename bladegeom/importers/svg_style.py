"""What the styles of an SVG say of a shape: attributes, style sheets within the file, and style attributes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from bladegeom.importers.xml_tree import Element

_HEEDED: Final = frozenset(("display", "visibility", "stroke"))
"""Properties that decide what is read."""

_MOVING: Final = frozenset(
    (
        *("transform", "translate", "rotate", "scale", "zoom", "offset-path", "d"),
        *("x", "y", "cx", "cy", "r", "rx", "ry", "width", "height"),
    )
)
"""Properties that would give a shape another place or form. Source: SVG 2, section 6.4; CSS Transforms 2."""

_PASSED_OVER: Final = frozenset(("charset", "namespace", "font-face", "keyframes", "page"))
"""At-rules that do not decide what is read."""

_COMMENT = re.compile(r"/\*.*?\*/|<!--|-->", re.DOTALL)
_SIMPLE = re.compile(r"(\*|[A-Za-z][\w-]*)?((?:[.#][\w-]+)*)")
_PART = re.compile(r"[.#][\w-]+")

_MOST_RULES = 5_000
"""In one file; own choice: drawing programs write one for each colour."""


@dataclass(frozen=True)
class _Rule:
    """A selector of one element's type, ids and classes, and what it says.

    Args:
        kind: Type of element, "" for any.
        ids: That it asks for.
        classes: The same.
        said: Values by property, each with whether it is important.
    """

    kind: str
    ids: frozenset[str]
    classes: frozenset[str]
    said: dict[str, tuple[str, bool]]

    def matches(self, element: Element) -> bool:
        a = element.attributes
        return (
            (not self.kind or self.kind == element.name)
            and (not self.ids or self.ids == {a.get("id")})
            and self.classes <= set(a.get("class", "").split())
        )

    @property
    def weight(self) -> tuple[int, int, int]:
        """Source: CSS Selectors 4, specificity."""
        return len(self.ids), len(self.classes), int(bool(self.kind))


class Styles:
    """The styles of a whole file.

    Args:
        root: Of the file.
        also: Properties that are asked for besides those that decide what is read everywhere.

    Raises:
        ValueError: A style sheet that decides what is drawn in a way that is not read here.
    """

    def __init__(self, root: Element, also: frozenset[str] = frozenset()) -> None:
        self._rules = sorted(_rules(root, _HEEDED | _MOVING | also), key=lambda rule: rule.weight)

    def said(self, element: Element, name: str) -> str | None:
        """The value of a property for one element alone; None where nothing is said.

        Source: CSS Cascading 4: presentation attributes, then rules by weight and order, then the style attribute;
        what is important goes before all else.
        """
        value = element.attributes.get(name)
        loud = False
        for rule in (*self._rules, _Rule("", frozenset(), frozenset(), _declared(element.attributes.get("style", "")))):
            if name in rule.said and rule.matches(element):
                new, important = rule.said[name]
                if important or not loud:
                    value, loud = new, important
        return None if value is None else value.strip().lower()

    def require_unmoved(self, element: Element) -> None:
        """Refuse an element whose styles give it another place or form.

        Raises:
            ValueError: They do.
        """
        own = _declared(element.attributes.get("style", ""))
        moved = _MOVING & {*own, *(name for rule in self._rules if rule.matches(element) for name in rule.said)}
        if moved:
            raise ValueError(f"it has {min(moved)!r} within a style; save it again as plain SVG")


def _rules(root: Element, heeded: frozenset[str]) -> Iterator[_Rule]:
    waiting, count = [root], 0
    while waiting:
        element = waiting.pop()
        waiting += reversed(element.children)
        if element.name == "link" and "stylesheet" in element.attributes.get("rel", ""):
            raise ValueError("it takes its styles from another file; save it again as plain SVG")
        if element.name != "style" or element.attributes.get("type", "text/css") != "text/css":
            continue
        if element.attributes.get("media", "all").strip().lower() not in ("", "all", "screen"):
            raise ValueError("it has styles for some devices only; save it again as plain SVG")
        for rule in _parsed(_COMMENT.sub(" ", element.text), heeded):
            count += 1
            if count > _MOST_RULES:
                raise ValueError(f"it has more than {_MOST_RULES} rules of style")
            yield rule


def _parsed(text: str, heeded: frozenset[str]) -> Iterator[_Rule]:
    place = 0
    while text[place:].strip():
        opened = text.find("{", place)
        stop = text.find(";", place)
        head = text[place : opened if opened >= 0 else len(text)].strip()
        if head.startswith("@"):
            place = _after_at_rule(text, place, opened, stop)
            continue
        closed = text.find("}", opened)
        if opened < 0 or closed < 0:
            raise ValueError("it has a style sheet that cannot be read; save it again as plain SVG")
        body = text[opened + 1 : closed]
        if "{" in body:
            raise ValueError("it has rules of style within each other; save it again as plain SVG")
        yield from _one_rule(head, _declared(body), heeded)
        place = closed + 1


def _after_at_rule(text: str, place: int, opened: int, stop: int) -> int:
    """Where the text goes on behind an at-rule that may be passed over."""
    match = re.match(r"\s*@(?:-\w+-)?([\w-]+)", text[place:])
    if not match or match[1] not in _PASSED_OVER:
        raise ValueError(f"its style sheet has {text[place : place + 30].strip()!r}; save it again as plain SVG")
    if stop >= 0 and (opened < 0 or stop < opened):
        return stop + 1
    depth = 0
    for k in range(opened if opened >= 0 else len(text), len(text)):
        depth += (text[k] == "{") - (text[k] == "}")
        if depth == 0:
            return k + 1
    return len(text)


def _one_rule(selectors: str, said: dict[str, tuple[str, bool]], heeded: frozenset[str]) -> Iterator[_Rule]:
    if not heeded & set(said):
        return
    for selector in selectors.split(","):
        match = _SIMPLE.fullmatch(selector.strip())
        if not match or not selector.strip():
            raise ValueError(
                f"its style sheet says {min(heeded & set(said))} of {selector.strip()[:40]!r}, a selector "
                "that is not read; save it again as plain SVG"
            )
        parts = _PART.findall(match[2])
        yield _Rule(
            kind="" if match[1] in (None, "*") else match[1],
            ids=frozenset(part[1:] for part in parts if part[0] == "#"),
            classes=frozenset(part[1:] for part in parts if part[0] == "."),
            said=said,
        )


def _declared(text: str) -> dict[str, tuple[str, bool]]:
    """Properties of a block or a style attribute, each with whether it is important; of two the last."""
    out: dict[str, tuple[str, bool]] = {}
    for part in text.split(";"):
        name, colon, value = part.partition(":")
        if colon:
            plain, bang, word = value.rpartition("!")
            important = bool(bang) and word.strip().lower() == "important"
            key = name.strip().lower()
            if important or not out.get(key, ("", False))[1]:
                out[key] = (plain if important else value).strip(), important
    return out

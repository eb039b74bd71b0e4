"""Whether every declared text can be printed: a letter that the face lacks is never swapped for another."""

from __future__ import annotations

import dataclasses
import functools
import operator
from collections.abc import Callable, Iterator
from typing import Any

from bladegeom.curves.curve import Curve
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.knife.zone import MarkZone
from bladegeom.quantities.errors import LetterError
from bladegeom.quantities.lettering import lacking


@rule(
    Code("letter-missing", ("error",), "a text has letters that no page can show"),
)
def check_letters(knife: Knife) -> Iterator[Finding]:
    """All findings about the texts of a knife; those of a mark at its place."""
    zones = tuple(zone for zone in knife.zones if isinstance(zone, MarkZone))
    for name in _field_names(Knife):
        if name != "zones":
            yield from letter_findings(getattr(knife, name), "knife", name.replace("_", " "))
    for zone in zones:
        for found in letter_findings(zone, "blade", "the mark"):
            yield dataclasses.replace(found, x=zone.x, y=zone.y)


def letter_findings(declared: object, part: str, where: str = "") -> Iterator[Finding]:
    """A finding for each text, anywhere in what is declared, that no page can show.

    Args:
        declared: A value with its fields, or a text.
        part: Of the findings.
        where: The way to it, in words.
    """
    if _is_plain(declared):
        return
    if isinstance(declared, str):
        if letters := lacking(declared):
            yield Finding(
                code="letter-missing",
                severity="error",
                part=part,
                message=f"{where} {LetterError(declared, letters)}",
                source="the face that is printed with has Latin, Greek and Cyrillic letters",
            )
    elif isinstance(declared, tuple):
        for i, text in enumerate(declared, start=1):
            yield from letter_findings(text, part, f"{where} {i}")
    else:
        before = f"{where}, " if where else ""
        kind: Any = type(declared)
        for name in _field_names(kind):
            words = name.replace("_", " ")
            yield from letter_findings(getattr(declared, name), part, f"{before}{words}")


def _is_plain(declared: Any) -> bool:
    """Whether all its texts are of letters that every face has: nearly always, and a design holds hundreds."""
    if isinstance(declared, str):
        return declared.isascii()
    if isinstance(declared, tuple):
        return all(map(_is_plain, declared))
    held = _held_by(declared.__class__)
    return held is None or all(map(_is_plain, held(declared)))


@functools.cache
def _held_by(kind: Any) -> Callable[[Any], tuple[Any, ...]] | None:
    """What takes all fields out of a value of a kind at once; None where it has none."""
    names = _field_names(kind)
    # Of one name alone the value would come without its row.
    return operator.attrgetter(*names, names[0]) if names else None


@functools.cache
def _field_names(kind: type) -> tuple[str, ...]:
    """Of what is declared; a curve, and what has no fields, holds no text."""
    if kind is Curve or not dataclasses.is_dataclass(kind):
        return ()
    return tuple(field.name for field in dataclasses.fields(kind))

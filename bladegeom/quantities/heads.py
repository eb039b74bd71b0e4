"""What sits at the ends of a screw: countersunk heads, and hex standoffs; each with its source.

The rows stand in ``data/*.csv``; ``data/README.md`` says what their confidence means.
"""

from __future__ import annotations

import math
import re
from functools import cache
from typing import Final

from bladegeom.quantities.declared import checked, declared
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.field_rules import Length, Positive
from bladegeom.quantities.rows import length_or_none, table_rows
from bladegeom.quantities.threads import Thread, thread_size
from bladegeom.quantities.units import length

HEAD_STANDARDS: Final = ("ASME B18.6.3", "ASME B18.3", "ISO 7046", "ISO 10642", "ISO 14582", "DIN 7991")

_SAME_HEAD: Final = {"ISO 2009": "ISO 7046", "ISO 7046-1": "ISO 7046", "ISO 14581": "ISO 7046"}
"""Source: ISO 7721, the countersunk head that these standards share."""


@declared("countersunk head", example='"ISO 10642"', slots=True)
class CountersunkHead:
    """A flat countersunk head, lengths in mm; a shop may bring its own.

    Args:
        standard: One of :data:`HEAD_STANDARDS`, or what a shop calls its own.
        thread: The size of the thread, ``"#10"`` or ``"M4"``.
        angle_deg: Included angle of the cone, in (0, 180).
        sharp_diameter: Greatest diameter of the cone with its rim drawn out sharp. A countersink this wide
            swallows every head of the standard.
        head_height: From the top to where the cone meets the thread, as printed. Some standards reckon it at
            another angle than ``angle_deg``; the note says so.
        source: Where the numbers come from.
        confidence: ``"high"``, ``"medium"`` or ``"low"``.
        head_diameter: Greatest diameter that can be measured on a screw, at most ``sharp_diameter``; None where
            the table has none. Never size a countersink by it.
        note: What else is to be known.

    >>> from bladegeom import countersunk_head
    >>> countersunk_head("M4").angle_deg
    90.0
    """

    standard: str
    thread: str
    angle_deg: Positive
    sharp_diameter: Length
    head_height: Length
    source: str
    confidence: str
    head_diameter: Length | None = None
    note: str = ""

    def __post_init__(self) -> None:
        if not 0 < self.angle_deg < 180:
            raise ParameterError("countersunk head: angle_deg", f"{self.angle_deg:g}", "lie between 0 and 180 degrees")
        if self.head_diameter is not None and not self.head_diameter <= self.sharp_diameter:
            must = f"be at most the sharp diameter, {self.sharp_diameter:g} mm"
            raise ParameterError("countersunk head: head_diameter", f"{self.head_diameter:g} mm", must)


@declared("hex standoff", slots=True)
class HexStandoff:
    """A width across flats, mm, in which hex standoffs of one thread are sold."""

    thread: str
    across_flats: Length
    source: str
    confidence: str
    note: str = ""


def countersunk_head(name: str | Thread | CountersunkHead, standard: str | None = None) -> CountersunkHead:
    """The countersunk head on a screw of that size.

    Args:
        name: A thread, or its size alone, as ``"#10"`` or ``"M4"``; or a CountersunkHead, which is handed back as
            it is.
        standard: One of :data:`HEAD_STANDARDS`, or ISO 2009, ISO 7046-1 or ISO 14581, whose head is that of
            ISO 7046. Left out, it is ASME B18.6.3 (82 degrees) for inch sizes and ISO 7046 (90 degrees) for
            metric ones.

    Raises:
        UnknownNameError: No such thread or standard.
        ParameterError: The table has no head of this size in this standard.

    >>> countersunk_head("M4").sharp_diameter, countersunk_head("M4", "ISO 10642").sharp_diameter
    (9.4, 8.96)
    """
    if isinstance(name, CountersunkHead):
        return name
    size = thread_size(name)
    if standard is None:
        in_table = "ISO 7046" if size.startswith("M") else "ASME B18.6.3"
    elif not (in_table := _standards_by_key().get(_key(standard), "")):
        raise UnknownNameError("head standard", standard, (*HEAD_STANDARDS, *_SAME_HEAD))
    heads = _heads_in(in_table)
    if size not in heads:
        raise ParameterError("thread", size, f"be a size with a countersunk head in {in_table}: {', '.join(heads)}")
    return heads[size]


@cache
def countersunk_heads() -> tuple[CountersunkHead, ...]:
    """All countersunk heads, in the order of the table."""
    return tuple(
        CountersunkHead(
            standard=row["standard"],
            thread=row["thread"],
            angle_deg=float(row["angle_deg"]),
            sharp_diameter=length(row["sharp_diameter"]),
            head_height=length(row["head_height"]),
            source=row["source"],
            confidence=row["confidence"],
            head_diameter=length_or_none(row["head_diameter"]),
            note=row["note"],
        )
        for row in table_rows("countersunk_heads.csv")
    )


def countersink_depth(head: CountersunkHead, hole_diameter: float | str) -> float:
    """How deep a countersink as wide as the sharp diameter reaches before it meets the hole, mm.

    Args:
        head: The head that the countersink swallows.
        hole_diameter: Of the through hole; a number in mm or a text with its unit.

    Raises:
        QuantityError: The diameter is no length.
        ParameterError: The head would fall through the hole, or there is no hole.

    >>> round(countersink_depth(countersunk_head("M4"), 4.5), 6)
    2.45
    """
    diameter = length(hole_diameter)
    if not 0 < diameter < head.sharp_diameter:
        must = f"be more than 0 and less than the head's sharp diameter, {head.sharp_diameter:g} mm"
        raise ParameterError("hole_diameter", f"{diameter:g} mm", must)
    return _cone_height(head, diameter)


def stands_proud(head: CountersunkHead, countersink_diameter: float | str) -> float:
    """How far the widest head of the standard may stand above the face, mm; 0 if the countersink swallows it.

    Args:
        head: The head.
        countersink_diameter: Of the countersink at the face; a number in mm or a text with its unit.

    Raises:
        QuantityError: The diameter is no length.
        ParameterError: There is no countersink.

    >>> round(stands_proud(countersunk_head("M4"), 8.4), 6), stands_proud(countersunk_head("M4"), 10)
    (0.5, 0.0)
    """
    diameter = length(countersink_diameter)
    checked("countersink: diameter", diameter, Length)
    return max(0.0, _cone_height(head, diameter))


@cache
def hex_standoffs() -> tuple[HexStandoff, ...]:
    """The widths in which hex standoffs are sold, thinnest thread first.

    Round standoffs, as handles have them, follow no standard: measure them.
    """
    return tuple(
        HexStandoff(
            thread=row["thread"],
            across_flats=length(row["across_flats"]),
            source=row["source"],
            confidence=row["confidence"],
            note=row["note"],
        )
        for row in table_rows("hex_standoffs.csv")
    )


@cache
def _heads_in(standard: str) -> dict[str, CountersunkHead]:
    """The heads of a standard by the size of their thread."""
    return {head.thread: head for head in countersunk_heads() if head.standard == standard}


@cache
def _standards_by_key() -> dict[str, str]:
    return {_key(name): _SAME_HEAD.get(name, name) for name in (*HEAD_STANDARDS, *_SAME_HEAD)}


def _key(standard: str) -> str:
    """Lower case, without spaces and hyphens, and without the name of the society before an inch standard."""
    return re.sub(r"[\s-]", "", standard.lower()).removeprefix("asme")


def _cone_height(head: CountersunkHead, diameter: float) -> float:
    """From the sharp diameter down to another diameter, along the axis; negative if that one is wider."""
    return (head.sharp_diameter - diameter) / (2 * math.tan(math.radians(head.angle_deg) / 2))

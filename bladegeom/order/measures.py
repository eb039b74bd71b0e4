"""Measures by name: what an order limits and an inspection reads, each on a knife as it is designed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Literal

import numpy as np

from bladegeom.curves.flatten import flatten
from bladegeom.curves.measure import curve_length
from bladegeom.fasteners.stack import stacks
from bladegeom.grinding.blade_size import blade_height, spine_thickness
from bladegeom.grinding.grind_sheet import grind_sheet
from bladegeom.handle.section import HandleSection, handle_length, handle_sections
from bladegeom.knife.knife import Knife
from bladegeom.mass.unweighed import unweighed
from bladegeom.mass.weigh import weigh
from bladegeom.quantities.balance_bands import DATUM
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.field_rules import Like
from bladegeom.quantities.tolerances import CHORD
from bladegeom.quantities.units import show_angle, show_length, show_mass

_BEHIND_TIP = 10.0
"""Where a tip's thickness is read, mm."""

Unit = Literal["mm", "g", "deg", "HRC"]
_Row = tuple[str, Unit, str, str, Callable[[Knife], float | None]]


@dataclass(frozen=True, kw_only=True)
class Measure:
    """One measure.

    Args:
        name: Its own.
        unit: In which it is told.
        how: Where the tool is laid: the convention, printed with the number.
        tool: With which it is read on the bench.
        of: Its value on a design; None where the design has no such thing, or where only the bench can tell.
        operation: Key of the operation that records it, where the design cannot tell it; else empty.

    >>> found = measure("blade length")
    >>> found.unit, found.show(110.0)
    ('mm', '110.00 mm (4.331 in)')
    """

    name: str
    unit: Unit
    how: str
    tool: str
    of: Callable[[Knife], float | None]
    operation: str = ""

    def left_out(self, knife: Knife) -> str:
        """What must be there before it can be measured, and is no part of the design; empty where nothing is."""
        return " and ".join(unweighed(knife)) if self.name in _OF_ALL else ""

    def missing(self, knife: Knife) -> str:
        """Why a design has no value of it."""
        if part := self.left_out(knife):
            return f"the {part} is no part of the design, so that only the finished knife tells it"
        return "the design has none"

    def show(self, value: float) -> str:
        """A value with its unit, lengths in mm and inch."""
        if self.unit == "mm":
            return show_length(value)
        if self.unit == "g":
            return show_mass(value)
        return f"{value:.1f} {self.unit}" if self.unit != "deg" else f"{show_angle(value)} degrees"


def measure(name: str) -> Measure:
    """The measure of that name; case and spaces at its ends do not matter.

    Raises:
        ParameterError: It is no name.
        UnknownNameError: No such measure; the nearest names are suggested.

    >>> measure("blade length").unit
    'mm'
    """
    checked("measure: name", name, Annotated[str, Like('"blade length"')])
    found = measures().get(" ".join(name.lower().split()))
    if found is None:
        raise UnknownNameError("measure", name, measures())
    return found


@cache
def measures() -> dict[str, Measure]:
    """All measures by name.

    >>> "blade length" in measures()
    True
    """
    rule, caliper, tape = "steel rule", "calipers", "tape"
    front = f"from {DATUM}, + towards the tip"
    rows: tuple[_Row, ...] = (
        ("blade length", "mm", "tip to the handle front at the spine", rule, lambda k: k.outline.tip[0]),
        ("blade length to handle", "mm", "tip to the foremost place of the handle front", rule, _to_handle),
        ("blade length to plunge", "mm", "tip to the foremost place of the plunge line", rule, _to_plunge),
        ("edge length", "mm", "along the edge from heel to tip", tape, lambda k: curve_length(k.outline.edge)),
        ("overall length", "mm", "tip to butt along the knife", rule, _whole(lambda k: _span(k, 0))),
        ("blade height", "mm", "edge to spine where the blade is highest", caliper, blade_height),
        (
            "knuckle clearance",
            "mm",
            "lowest place of the edge below the handle front's lower end",
            caliper,
            _whole(_clearance),
        ),
        ("thickness", "mm", "of the blade, at the spine over the plunge line", caliper, _at_plunge),
        ("tip thickness", "mm", "of the ground spine, 10 mm behind the tip", caliper, _near_tip),
        ("butt thickness", "mm", "of the tang at the butt", caliper, lambda k: _bar(k, k.outline.bounds[0])),
        ("edge thickness", "mm", "at the edge before sharpening", caliper, lambda k: k.grind.edge_thickness),
        ("first edge thickness", "mm", "at the edge, before a face is set below the first one", caliper, _first_edge),
        ("rough edge", "mm", "at the edge before hardening", caliper, lambda k: k.grind.rough_edge),
        (
            "bevel height",
            "mm",
            "edge to grind line or spine, at the first station ahead of the plunge",
            caliper,
            _bevel_height,
        ),
        ("bevel angle", "deg", "a side, to the middle plane, at the first station", "bevel gauge", _bevel_angle),
        ("sharpening angle", "deg", "a side, to the middle plane", "bevel gauge", _sharpened),
        ("mass", "g", "the finished knife without sheath", "scale", _whole(lambda k: weigh(k).total.amount)),
        ("balance", "mm", front, "rod", _whole(_balance)),
        ("handle length", "mm", "middle of the handle front to the end of the butt", rule, _whole(handle_length)),
        ("handle girth", "mm", "round the handle where it is thickest", tape, lambda k: _most(k, "girth")),
        ("least handle girth", "mm", "round the handle where it is narrowest", tape, lambda k: _least(k, "girth")),
        ("handle height", "mm", "underside to top where it is highest", caliper, lambda k: _most(k, "height")),
        ("handle thickness", "mm", "over the handle where it is thickest", caliper, lambda k: _most(k, "width")),
        ("scale thickness", "mm", "one finished scale", caliper, lambda k: k.scales.thickness if k.scales else None),
        (
            "slab thickness",
            "mm",
            "one slab as bought",
            caliper,
            lambda k: k.scales.slab_thickness if k.scales else None,
        ),
        ("lanyard bore", "mm", "diameter that is free for the cord", caliper, _lanyard_bore),
        ("hand breadth", "mm", "across the knuckles, that the design is made for", tape, lambda k: k.hand_breadth),
    )
    out = {name: Measure(name=name, unit=unit, how=how, tool=tool, of=of) for name, unit, how, tool, of in rows}
    hardness = Measure(
        name="hardness",
        unit="HRC",
        how="after tempering, on the tang and beside the plunge line",
        tool="hardness tester",
        of=lambda _: None,
        operation="temper",
    )
    return out | {hardness.name: hardness}


SIGNED = ("balance", "knuckle clearance")
"""Measures that may be on either side of nought."""

_OF_ALL = (
    "overall length",
    "mass",
    "balance",
    "handle length",
    "knuckle clearance",
    "handle girth",
    "least handle girth",
    "handle height",
    "handle thickness",
)
"""Measures of the finished knife with all that belongs to it: a block behind the front reaches as low as it is made."""

LENGTHS = ("blade length", "blade length to handle", "blade length to plunge", "edge length", "overall length")
"""Conventions by which a length is limited where a knife is carried."""


def _whole(of: Callable[[Knife], float | None]) -> Callable[[Knife], float | None]:
    """A measure of all that belongs to the knife: none where a part of it is not in the design."""
    return lambda knife: None if unweighed(knife) else of(knife)


def _balance(knife: Knife) -> float | None:
    """None where holes leave nothing that could balance."""
    weighing = weigh(knife)
    return weighing.balance_from_front if weighing.total.amount else None


def _to_handle(knife: Knife) -> float:
    return knife.outline.tip[0] - float(flatten(knife.handle_front, CHORD)[:, 0].max())


def _to_plunge(knife: Knife) -> float:
    line = knife.plunge_line
    return knife.outline.tip[0] - max(line.start[0], line.end[0])


def _span(knife: Knife, axis: int) -> float:
    return knife.outline.bounds[2 + axis] - knife.outline.bounds[axis]


def _clearance(knife: Knife) -> float:
    return knife.handle_front.end[1] - float(flatten(knife.outline.edge, CHORD)[:, 1].min())


def _at_plunge(knife: Knife) -> float:
    return _bar(knife, knife.plunge_line.end[0])


def _near_tip(knife: Knife) -> float:
    return spine_thickness(knife, knife.outline.tip[0] - _BEHIND_TIP)


def _first_edge(knife: Knife) -> float | None:
    """None where a single face, or faces that none is set below, leave the edge as it is told."""
    earlier = grind_sheet(knife).earlier
    return earlier[0].sheet.knife.grind.edge_thickness if earlier else None


def _sharpened(knife: Knife) -> float | None:
    """None where the faces below come to a point by themselves, so that there is no facet."""
    return knife.grind.sharpen_deg if grind_sheet(knife).facet[0] else None


def _bar(knife: Knife, x: float) -> float:
    return float(2 * knife.stock.half_thickness(np.array([x]))[0])


def _bevel_height(knife: Knife) -> float:
    first = grind_sheet(knife).first
    return first.reach if first.grind_line is None else first.grind_line


def _bevel_angle(knife: Knife) -> float:
    return grind_sheet(knife).first.angle_deg


def _most(knife: Knife, what: str) -> float | None:
    return max(_each(knife, what), default=None)


def _least(knife: Knife, what: str) -> float | None:
    return min(_each(knife, what), default=None)


def _each(knife: Knife, what: str) -> list[float]:
    sections: tuple[HandleSection, ...] = handle_sections(knife)
    return [getattr(section, what) for section in sections]


def _lanyard_bore(knife: Knife) -> float | None:
    """The narrowest of what a lanyard goes through."""
    tubes = [stack.hardware.passage for stack in stacks(knife) if stack.hardware.passage is not None]
    holes = [hole.diameter for hole in knife.holes if hole.purpose == "lanyard"]
    return min((*tubes, *holes), default=None)

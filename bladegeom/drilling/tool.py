"""Tools of the drill card by the names under which they lie in a shop's drawer."""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.holes.cut_holes import cut_holes
from bladegeom.knife.hardware.bore import Bore
from bladegeom.knife.knife import Knife
from bladegeom.quantities.drills import Drill, drills
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.shown import drill_size
from bladegeom.quantities.units import show_length

Shelf = Sequence[Drill]
"""Drills at hand: the shop's own first."""


def shelf_of(knife: Knife) -> tuple[Drill, ...]:
    """The shop's drills, all that are made, and what a maker asks for by size.

    Not the size of a hole in the tang that others cut to size: for that no drill is needed.
    """
    in_steel = cut_holes(knife)[: len(knife.fasteners)]
    asked = [
        bore.drill
        for hole, bores in zip(in_steel, knife.bores, strict=True)
        for bore in bores
        if hole.finish != "cut" or bore.drill != bores[0].drill
    ]
    return (*knife.shop.drills, *drills(), *asked)


def drill_words(drill: Drill) -> str:
    """A drill by the name on its shank, with its diameter in the unit, or units, that the name does not tell.

    >>> from bladegeom.quantities.drills import drill
    >>> drill_words(drill("5/16")), drill_words(drill("F"))
    ('5/16 in drill (7.938 mm)', 'F drill (6.53 mm, 0.257 in)')
    """
    return drill_size(drill).text


def drill_of(diameter: float, shelf: Shelf) -> Drill | None:
    """The drill of a diameter, if there is one."""
    return next((drill for drill in shelf if abs(drill.diameter - diameter) < 1e-6), None)


def drill_named(diameter: float, shelf: Shelf) -> str:
    """The drill of a diameter, by name if there is one; else the bare size."""
    known = drill_of(diameter, shelf)
    return drill_words(known) if known else f"drill of {show_length(diameter)}"


def gauge_named(diameter: float, shelf: Shelf) -> str:
    """With what a hole of a diameter is measured: the shank of its drill, or a caliper where none is made."""
    known = drill_of(diameter, shelf)
    return f"shank of {drill_words(known)}" if known else f"caliper, {show_length(diameter)}"


def drill_under(diameter: float, room: float, index: Shelf) -> Drill:
    """The widest drill that leaves some room to a diameter, of the index if it has one, else of all that are made.

    Raises:
        ParameterError: No drill is so thin.
    """
    for shelf in (index, drills()):
        found = [drill for drill in shelf if drill.diameter <= diameter - room + 1e-9]
        if found:
            return max(found, key=lambda drill: drill.diameter)
    raise ParameterError(
        "reamed hole", show_length(diameter), "be wide enough for a drill to go before the reamer; say made='drilled'"
    )


def flat_tool(bore: Bore, least: float) -> str:
    """What bores a flat floor: the bore's drill ground flat, or any end mill that lets in what goes there.

    Args:
        bore: To be made.
        least: Diameter of what goes in, mm.
    """
    return f"{drill_words(bore.drill)}, ground flat; or an end mill of {span(least, bore.diameter)}"


def span(low: float, high: float) -> str:
    """Sizes that do, in words; one where both read alike."""
    ends = show_length(low), show_length(high)
    return ends[0] if ends[0] == ends[1] else " to ".join(ends)

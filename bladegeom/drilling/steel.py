"""Rows of the drill card for the steel: what the cutter left to check, holes to drill, rims to break, a last try."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.drilling.row import CardRow, Phase, PieceBore
from bladegeom.drilling.tool import Shelf, drill_named, drill_under, drill_words, gauge_named, shelf_of
from bladegeom.fasteners.alike import by_name, grouped, to_compare
from bladegeom.holes.cut_holes import CutHole, cut_holes
from bladegeom.knife.hardware.bore import broken_rims
from bladegeom.knife.hole import Opening, Slot
from bladegeom.knife.knife import Knife
from bladegeom.quantities.drills import Drill
from bladegeom.quantities.shown import caliper_length
from bladegeom.quantities.units import show_length

_REAM = 0.1
"""Least left on the diameter for a reamer, mm. Source: common practice, no source: 0.1 to 0.3 mm."""

Named = tuple[str, Opening]
_SOFT: Phase = "before hardening"
_HARD: Phase = "after hardening"


def named(knife: Knife) -> list[Named]:
    """All openings of the steel with their short names."""
    return list(zip(knife.hole_ids, knife.openings, strict=True))


def is_slot(opening: Opening) -> bool:
    """Whether it is longer than wide."""
    return isinstance(opening, Slot)


def soft_steel(knife: Knife) -> Iterator[CardRow]:
    """All work on the steel while it is soft."""
    holes, shelf = named(knife), shelf_of(knife)
    if not holes:
        return
    at = cut_holes(knife)
    yield from _checked([(hole.name, hole.opening) for hole in at if hole.finish == "cut"], shelf)
    left = [hole.name for hole in at if hole.way == "left"]
    if left:
        yield CardRow(
            holes=by_name(left),
            part="tang",
            operation="lay off and centre-punch",
            tool="straightedge, square, rule, centre punch",
            phase=_SOFT,
            note="From the hole table, or through the template; a template glued on leads the punch best.",
        )
    made = [hole for hole in at if hole.finish != "cut"]
    yield from _drilled([hole for hole in made if not is_slot(hole.opening)], shelf, knife.shop.drills)
    yield from _slots([(hole.name, hole.opening) for hole in made if is_slot(hole.opening)], shelf)
    yield CardRow(
        holes=by_name(name for name, _ in holes),
        part="tang",
        operation=f"deburr both faces, {broken_rims()}",
        tool="countersink or deburring tool, by hand or slow",
        phase=_SOFT,
        note=_NO_BURR[knife.stock.hardens],
    )


_NO_BURR: Final = {
    True: "No burr and no sharp rim goes into the quench. Count the holes: afterwards none can be drilled.",
    False: "A burr tilts the tang and cuts the hand. Count the holes.",
}
"""Of a metal that is hardened, and of one that is not."""

_BINDS: Final = {
    True: "Where it binds, take the oxide off with a round stone or a lap. No twist drill cuts hard steel.",
    False: "Where it binds, take the burr off by hand.",
}


def hard_steel(knife: Knife) -> Iterator[CardRow]:
    """The try with the hardware once the steel is hard."""
    ids = knife.hole_ids
    for hardware, names in grouped((fastener.hardware, ids[i]) for i, fastener in enumerate(knife.fasteners)):
        yield CardRow(
            holes=by_name(names),
            part="tang",
            operation="check that the hardware still goes through",
            tool=hardware.kind,
            phase=_HARD,
            note=_BINDS[knife.stock.hardens],
        )


def _checked(cut: Sequence[Named], shelf: Shelf) -> Iterator[CardRow]:
    for (kind, slot, _), group in grouped(
        ((hole.purpose, is_slot(hole), to_compare(hole.diameter)), (name, hole)) for name, hole in cut
    ):
        diameter = group[0][1].diameter
        fit = "" if kind == "lightening" else " Too tight or tapered: drill or ream it now."
        yield CardRow(
            holes=by_name(name for name, _ in group),
            part="tang",
            operation="cut by the shop: check the width" if slot else "cut by the shop: check the diameter",
            tool=gauge_named(diameter, shelf),
            phase=_SOFT,
            makes=_through(group),
            checks=True,
            note=f"Is it {caliper_length(diameter).first} on both faces?{fit}",
        )


def _drilled(made: Sequence[CutHole], shelf: Shelf, index: Shelf) -> Iterator[CardRow]:
    """Round holes, each size once; a reamed one is drilled under size first, unless it was cut so."""
    for (how, way, _), group in grouped(
        ((hole.finish, hole.way, to_compare(hole.opening.diameter)), hole) for hole in made
    ):
        names, diameter = by_name(hole.name for hole in group), group[0].opening.diameter
        begun = _begun(group[0])
        if how == "reamed" and way != "under size":
            under = before_reamer(diameter, index)
            left = diameter - under.diameter
            yield CardRow(
                holes=names,
                part="tang",
                operation="drill under size for the reamer",
                tool=drill_words(under),
                phase=_SOFT,
                note=f"Right through. {begun} Leaves {show_length(left)} for the reamer.",
            )
        ream = f"{begun} {_REAMED}" if way == "under size" else _REAMED
        yield CardRow(
            holes=names,
            part="tang",
            operation="ream" if how == "reamed" else _OPENED.get(way, "drill through"),
            tool=f"reamer {show_length(diameter)}" if how == "reamed" else drill_named(diameter, shelf),
            phase=_SOFT,
            makes=_through([(hole.name, hole.opening) for hole in group]),
            note=ream if how == "reamed" else begun,
        )


_PILOT = "Spot or pilot first; clamped, on a backing board, slow, with oil."
_REAMED = "Slow, with oil, never turned backwards."
_OPENED: Final = {"under size": "drill or ream to size", "pilot": "drill through, led by the pilot hole"}


def _begun(hole: CutHole) -> str:
    """What the shop has left for the drill to begin with."""
    if hole.way == "left":
        return _PILOT
    cut = show_length(hole.diameter)
    if hole.way == "pilot":
        return f"The shop cut a pilot hole of {cut}. Clamped, on a backing board, slow, with oil."
    less = show_length(hole.opening.diameter - hole.diameter)
    return f"The shop cut it {cut}, {less} under size. Clamped square to the hole, slow, with oil."


def before_reamer(diameter: float, index: Shelf) -> Drill:
    """The drill that goes before a reamer of a diameter.

    Raises:
        ParameterError: No drill is so thin.
    """
    return drill_under(diameter, _REAM, index)


def _slots(made: Sequence[Named], shelf: Shelf) -> Iterator[CardRow]:
    for name, hole in made:
        length = math.dist(*hole.axis.tolist()) + hole.diameter
        yield CardRow(
            holes=(name,),
            part="tang",
            operation="drill both ends, then mill or file out what stands between",
            tool=drill_named(hole.diameter, shelf),
            phase=_SOFT,
            makes=_through([(name, hole)]),
            note=f"Slot {show_length(hole.diameter)} wide, {show_length(length)} long over all.",
        )


def _through(group: Sequence[Named]) -> tuple[PieceBore, ...]:
    return tuple(PieceBore(hole=name, piece="tang", shape="through hole") for name, _ in group)

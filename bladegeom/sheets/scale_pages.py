"""Templates of the scales at true size, and what is drilled in each."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from bladegeom.drawing.drawing import Drawing, Item
from bladegeom.drawing.sheet import PagePiece
from bladegeom.drawing.table import table_items
from bladegeom.fasteners.alike import by_name
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.stack import stacks
from bladegeom.fasteners.stack_parts import Countersink, Cut
from bladegeom.handle.parts import bare_holes
from bladegeom.knife.hole import Opening
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.knife.scales import Scales
from bladegeom.quantities.shown import caliper_length
from bladegeom.quantities.units import show_length
from bladegeom.sheets.scale_sheet import liner_piece, marked_scale

_SCALE_NOTES = (
    "Scale templates. Each scale is drawn as seen from its OUTSIDE. Glue each print on the outside face of its own "
    "slab, print up, and write INSIDE on the bare face at once: it goes to the tang.",
    "Heavy line: saw here. Dashes: the finished border, ground flush after gluing. Dotted line, if any: the flat "
    "begins. Dashed circles are sunk from the inside, thin circles from the outside.",
    "Punch and match-drill from the finished tang: positions here are for laying out. Pockets and countersinks are "
    "centred on the hole that comes through.",
)

NO_GLOVES = "No gloves at machines; eyes and lungs covered."
"""What is heeded at every machine."""

CAUTION = (
    NO_GLOVES,
    "Dust of carbon and glass fibre, wood and horn harms: P100, FFP3. Numbers are starting points.",
)
"""What is heeded while scales are worked."""


@memo
def scale_pieces(knife: Knife, name: str, remarks: Sequence[str]) -> tuple[PagePiece, ...]:
    """Right and left scale, the liner, and the table of what is drilled, each to be put on a page; none without scales.

    Args:
        knife: The design.
        name: Over every page.
        remarks: Lines for the head of every page.
    """
    if knife.scales is None:
        return ()
    drawings = [Drawing(name=knife.name, items=tuple(items)) for items in _templates(knife, knife.scales)]
    pieces = [PagePiece(drawing=each, head=(name, *_SCALE_NOTES, *remarks), foot=CAUTION) for each in drawings]
    rows = hole_rows(knife)
    if len(rows) > 1:
        title = f"Holes in each scale, slab {caliper_length(knife.scales.slab_thickness)} thick"
        table = Drawing(name=knife.name, items=tuple(table_items(rows, 0.0, 0.0, title=title)[0]))
        pieces.append(PagePiece(drawing=table, head=(name, *remarks), foot=CAUTION))
    return tuple(pieces)


def _templates(knife: Knife, scales: Scales) -> Iterator[Sequence[Item]]:
    yield marked_scale(knife, "right")
    yield marked_scale(knife, "left")
    if scales.liners:
        yield liner_piece(knife, scales).items


def hole_rows(knife: Knife) -> list[list[str]]:
    """What is drilled in each scale at each hole, a heading first."""
    bare = ""
    if knife.scales and knife.scales.liners:
        bare = ", from the glued liner's face" if knife.scales.glued_liners else ", liners off"
    rows = [["hole", "through", f"from the inside{bare}", "from the outside, before contouring"]]
    rows += [_row(stack) for stack in stacks(knife)]
    thongs = bare_holes(knife)
    rows += [
        [name, _bare(hole), "-", "-"]
        for hole, name in zip(knife.openings, knife.hole_ids, strict=True)
        if hole in thongs
    ]
    told = {row[0]: row for row in rows[1:]}
    return [rows[0], *(told[name] for name in by_name(told))]


def _row(stack: Stack) -> list[str]:
    cuts = [cut for cut in stack.cuts if cut.bore.layer == "scale"]
    faces = (None, "inside", "outside")
    told = ("; ".join(_told(cut) for cut in cuts if cut.face == face) for face in faces)
    return [stack.layers.name, *(text or "-" for text in told)]


def _bare(hole: Opening) -> str:
    """A hole that nothing fills: its size as the template of the blade tells it."""
    way = math.dist(*hole.axis.tolist())
    if not way:
        return f"dia. {show_length(hole.diameter)}"
    return f"slot {show_length(hole.diameter)} wide, {show_length(way + hole.diameter)} long"


def _told(cut: Cut) -> str:
    """One bore: how wide, and how deep from the face in whose column it stands."""
    bore = cut.bore
    size = f"dia. {show_length(bore.diameter)}"
    if cut.sunk is None:
        return f"{size}, drill {bore.drill.name}"
    deep = show_length(cut.sunk.depth.nominal)
    if not isinstance(cut.sunk, Countersink):
        return f"{bore.shape} {size}, {deep} deep"
    straight = show_length(cut.sunk.straight.nominal)
    return f"{size}: straight {straight}, countersink {bore.angle_deg:g} deg to {deep} at the screw's hole"

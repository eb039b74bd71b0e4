"""Templates of the scales at true size, and what is drilled in each."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Drawing, Item, Sheet
from bladegeom.drawing.page_flow import stacked
from bladegeom.drawing.sheet import PagePiece, each_on_smallest
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
from bladegeom.quantities.lettering import wrapped
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.units import show_length
from bladegeom.sheets.scale_sheet import liner_piece, marked_scale

_ROOM = 160.0
"""Height that a page of A4 or Letter holds between a title and the bars, mm."""

_LINE = (3.6, 2.4, 240.0)
"""What a line of the head takes of it, mm; the height of its letters, and the width at which it is wrapped."""

_GAP = 4.0
"""Between blocks on a page, mm."""

_SCALE_NOTES = (
    "Each scale is drawn as seen from its OUTSIDE. Glue each print on the outside face of its own slab, print up, and "
    "write INSIDE on the bare face at once: it goes to the tang.",
    "Heavy line: saw here. Dashes: the finished border, ground flush after gluing. Dotted line, if any: the flat "
    "begins. Dashed circles are sunk from the inside, thin circles from the outside.",
    "Punch and match-drill from the finished tang: positions here are for laying out. Pockets and countersinks are "
    "centred on the hole that comes through.",
)

CAUTION = (
    "Starting points. Eyes and lungs covered (P100, FFP3): dust of carbon and glass fibre, wood, horn harms. No gloves "
    "at machines."
)
"""What is heeded while scales are worked."""


def scale_pages(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """The pages of the templates, each on the first of some papers that takes it; none without scales.

    Args:
        design: The knife, and what follows from it.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of every page.

    Raises:
        ExportError: A page fits none of them.
    """
    return each_on_smallest(_pieces(design.knife, design.title, tuple(remarks)), papers)


@memo
def _pieces(knife: Knife, name: str, remarks: Sequence[str]) -> tuple[PagePiece, ...]:
    """Every page, for whatever paper."""
    if knife.scales is None:
        return ()
    title, notes = "Handle: scale templates", (*_SCALE_NOTES, *remarks)
    pages = stacked(map(_at_left, _templates(knife, knife.scales)), _room((title, *notes)), gap=_GAP)
    return tuple(
        PagePiece(
            drawing=Drawing(name=knife.name, items=items),
            head=(name, *((f"{title}, continued", *remarks) if i else (title, *notes))),
            foot=(CAUTION,),
        )
        for i, items in enumerate(pages)
    )


def _room(head: Sequence[str]) -> float:
    """Height that the lines of a head leave, mm."""
    leading, height, width = _LINE
    return _ROOM - leading * sum(len(wrapped(text, height, width)) for text in head)


def _templates(knife: Knife, scales: Scales) -> Iterator[Sequence[Item]]:
    yield marked_scale(knife, "right")
    yield marked_scale(knife, "left")
    rows = hole_rows(knife)
    if len(rows) > 1:
        yield table_items(
            rows, 0.0, 0.0, title=f"Holes in each scale, slab {show_length(scales.slab_thickness)} thick"
        )[0]
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


def _at_left(block: Sequence[Item]) -> tuple[Item, ...]:
    """A block moved to the left border."""
    drawing = Drawing(name="", items=tuple(block))
    return drawing.moved(-drawing.bounds[0], 0.0).items

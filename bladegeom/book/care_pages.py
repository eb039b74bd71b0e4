"""What the customer gets with the knife: how its steel, its handle and its edge are cared for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.agreement.care_words import care_blocks, never_lines
from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.hand_marks import BLANK_HEIGHT, written_line
from bladegeom.book.key_number import KeyNumber, key_rows
from bladegeom.book.told_block import framed_caution, told_block
from bladegeom.book.two_columns import column_width, two_columns
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Item, Label, Sheet
from bladegeom.drawing.type_sizes import TEXT
from bladegeom.order.measures import measure
from bladegeom.quantities.lettering import text_width
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.shown import hand_angle, rule_length, scale_mass


def care_pages(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """The care card of a knife, for the customer.

    Args:
        design: The knife with its order, as far as there is one.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of every page.

    Raises:
        ExportError: Name and remarks leave no room.
    """
    flow = ChapterFlow(papers[0], "Care", design.title, remarks)
    flow.begin()
    flow.y -= 1.5
    flow.block(_numbers(design, flow.x, flow.width), gap=3.0)
    width, hard = column_width(flow), design.route.settled.hardness
    blocks = care_blocks(design.knife, design.order, hard)
    two_columns(flow, [tuple(told_block(block.title, block.lines, width)) for block in blocks])
    flow.block(framed_caution("Never", never_lines(design.order), flow.x, flow.width), gap=5.0)
    _made_by(flow, design.settings.maker)
    return flow.sheets()


def _made_by(flow: ChapterFlow, maker: str | None) -> None:
    if maker:
        flow.write(f"Made by {maker}: ask there for a new edge or a repair.", TEXT)
        return
    flow.fit(BLANK_HEIGHT)
    flow.y -= BLANK_HEIGHT
    words = "For a new edge or a repair ask who made it:"
    flow.add(Label(layer="NOTE", x=flow.x, y=flow.y, text=words, height=TEXT))
    flow.add(written_line(flow.x + text_width(words, TEXT) + 3.0, flow.y - 0.6, flow.x + flow.width))


def _numbers(design: Design, left: float, width: float) -> Iterator[Item]:
    """The edge's angle, and the sizes of the knife as far as they are known, side by side."""
    knife = design.knife
    side = "on each side" if knife.grind.only is None else f"on the {knife.grind.only} side"
    told = [KeyNumber(what=f"Sharpen at, {side}", shown=hand_angle(knife.grind.sharpen_deg))]
    for what, name in (("Whole knife", "overall length"), ("Blade", "blade length")):
        if (size := measure(name).of(knife)) is not None:
            told.append(KeyNumber(what=what, shown=rule_length(size)))
    if (mass := measure("mass").of(knife)) is not None:
        told.append(KeyNumber(what="Weight", shown=scale_mass(mass)))
    return key_rows(told, left, width - 4.0, columns=len(told), apart=4.0)

"""What the customer gets with the knife: how its steel, its handle and its edge are cared for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.agreement.care_words import CareBlock, care_blocks, never_lines
from bladegeom.book.caution_sign import SIGN, caution_sign
from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.hand_marks import BLANK_HEIGHT, written_line
from bladegeom.book.key_number import key_number
from bladegeom.book.two_columns import column_width, two_columns
from bladegeom.curves.build import line
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Circle, Drawing, Item, Label, Path, Sheet
from bladegeom.drawing.type_sizes import HEAD, HEAVY_PEN, LEADING, TEXT
from bladegeom.order.measures import measure
from bladegeom.quantities.customer_units import customer_size
from bladegeom.quantities.lettering import text_width, wrapped
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.shown import Shown, hand_angle, scale_mass

_INDENT: Final = 4.0
"""Of a sentence behind its dot, mm."""

_PAD: Final = 3.0
"""Between a frame and what it holds, mm."""


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
    flow.block(_numbers(design, flow.x, flow.width), gap=3.0)
    width, hard = column_width(flow), design.route.settled.hardness
    two_columns(flow, [tuple(_block(each, width)) for each in care_blocks(design.knife, design.order, hard)])
    flow.block(_never(never_lines(design.order), flow.x, flow.width), gap=5.0)
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


def _numbers(design: Design, left: float, width: float) -> list[Item]:
    """The edge's angle, and the sizes of the knife as far as they are known, side by side."""
    knife = design.knife
    side = "on each side" if knife.grind.only is None else f"on the {knife.grind.only} side"
    told: list[tuple[str, Shown]] = [(f"Sharpen at, {side}", hand_angle(knife.grind.sharpen_deg))]
    for what, name in (("Whole knife", "overall length"), ("Blade", "blade length")):
        if (size := measure(name).of(knife)) is not None:
            told.append((what, customer_size(size)))
    if (mass := measure("mass").of(knife)) is not None:
        told.append(("Weight", scale_mass(mass)))
    each = width / len(told)
    places = ((what, shown, left + i * each) for i, (what, shown) in enumerate(told))
    return [item for what, shown, x in places for item in key_number(what, shown, x, 0.0, each - 4.0)]


def _block(block: CareBlock, width: float) -> Iterator[Item]:
    y = 0.0
    for text in wrapped(block.title, HEAD, width, bold=True):
        y -= HEAD * LEADING
        yield Label(layer="NOTE", x=0.0, y=y, text=text, height=HEAD, bold=True)
    y -= 0.8
    for sentence in block.lines:
        yield from _sentence(sentence, 0.0, y, width)
        y -= len(wrapped(sentence, TEXT, width - _INDENT)) * TEXT * LEADING + 0.6


def _sentence(text: str, x: float, top: float, width: float) -> Iterator[Item]:
    """A dot with lines behind it, from a top downwards."""
    yield Circle(layer="NOTE", x=x + 1.2, y=top - TEXT * LEADING + 0.38 * TEXT, radius=0.5, filled=True)
    for i, part in enumerate(wrapped(text, TEXT, width - _INDENT), start=1):
        yield Label(layer="NOTE", x=x + _INDENT, y=top - i * TEXT * LEADING, text=part, height=TEXT)


def _never(lines: Sequence[str], left: float, width: float) -> list[Item]:
    """What the knife does not bear, framed, in two columns."""
    each = (width - 3 * _PAD) / 2
    half = -(-len(lines) // 2)
    title = Label(layer="NOTE", x=left + _PAD + SIGN + 2.0, y=-_PAD - HEAD, text="Never", height=HEAD, bold=True)
    items: list[Item] = [*caution_sign(left + _PAD, -_PAD + 0.4), title]
    top = -_PAD - HEAD * LEADING - 0.8
    for column, told in enumerate((lines[:half], lines[half:])):
        y = top
        for text in told:
            items += _sentence(text, left + _PAD + column * (each + _PAD), y, each)
            y -= len(wrapped(text, TEXT, each - _INDENT)) * TEXT * LEADING + 0.6
    low = Drawing(name="", items=tuple(items)).bounds[1] - _PAD + 1.0
    right = left + width
    around = ((left, low), (right, low), (right, 0.0), (left, 0.0), (left, low))
    return [*items, Path(layer="NOTE", curve=line(*around), closed=True, pen=HEAVY_PEN)]

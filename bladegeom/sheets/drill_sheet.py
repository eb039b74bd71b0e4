"""The drill card on paper: where the holes are, every row with a box to tick, and sections through the stacks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Drawing, Item, Sheet
from bladegeom.drawing.long_table import LongTable
from bladegeom.drawing.sheet import PagePiece, each_on_smallest
from bladegeom.drilling.card import DrillCard, DrilledPlace, drill_card
from bladegeom.drilling.row import CardRow
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.quantities.interval import Interval
from bladegeom.quantities.lettering import wrapped
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.units import show_both, show_units
from bladegeom.sheets.drill_view import drill_view
from bladegeom.sheets.stack_section import section_lines, stack_sections

_ROOM = 161.0
"""Height that a page of A4 holds between the first line of a title and the bars, mm."""

_TITLE, _LINE = 6.0, 3.6
"""What another line of the title, and a line of text under it, take of that, mm."""

_WIDTH = 240.0
"""Of the text over a piece on Letter, where more of it is wrapped than on A4, mm."""

_GAP = 4.0
"""Between the view and the table under it, mm."""

_FOOT = ("Numbers are starting points; check before drilling. The shop's limits and local rules override.",)

_PHASES = {
    True: {
        "before hardening": "Before hardening: the steel is soft",
        "after hardening": "After hardening: the steel is hard",
    },
    False: {"before hardening": "The blank", "after hardening": "The finished tang, which is not hardened"},
}
"""Of a metal that is hardened, and of one that is not."""

_SLABS = "; scales are drilled as flat slabs"

_STEPS = LongTable(
    head=("done", "step", "holes", "part", "operation", "tool", "depth stop", "note", "measured / initials"),
    widths=(8.0, 8.0, 17.0, 16.0, 37.0, 43.0, 35.0, 49.0, 18.0),
    boxes=(0,),
)

_PLACES = LongTable(
    head=(
        *("done", "hole", "along, from the square", "off, from the straightedge", "diameter", "drill or gauge"),
        *("purpose", "made", "measured / initials"),
    ),
    widths=(8.0, 12.0, 37.0, 37.0, 30.0, 42.0, 20.0, 16.0, 24.0),
    boxes=(0,),
)


def drill_pages(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """All pages of the drill card, each on the first of some papers that takes it; none without any hole.

    Args:
        design: The knife, and what follows from it.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of every page.

    Raises:
        ExportError: A page fits none of them.
    """
    return each_on_smallest(_pieces(design.knife, design.title, tuple(remarks)), papers)


@memo
def _pieces(knife: Knife, title: str, remarks: Sequence[str]) -> tuple[PagePiece, ...]:
    """Every page, for whatever paper."""
    card, name = drill_card(knife), f"{title}, page "
    room = _ROOM - _taken(("part", *remarks)) - _TITLE * (len(wrapped(f"{name}10 of 10", 4.0, _WIDTH, bold=True)) - 1)
    sections = stack_sections(card.stacks, room - _taken(section_lines()))
    pages = [*_place_pages(card, room), *_step_pages(card, room), *sections]
    return tuple(
        PagePiece(
            drawing=Drawing(name=knife.name, items=tuple(items)),
            head=(f"{name}{number} of {len(pages)}", part, *notes, *remarks),
            foot=_FOOT,
        )
        for number, (part, notes, items) in enumerate(pages, start=1)
    )


Page = tuple[str, Sequence[str], Sequence[Item]]
"""What a page is called, lines above the piece, and the piece."""


def _taken(lines: Sequence[str]) -> float:
    """Height of lines of text under the title, mm."""
    return _LINE * sum(len(wrapped(text, 2.4, _WIDTH)) for text in lines)


def _place_pages(card: DrillCard, room: float) -> Iterator[Page]:
    if not card.places:
        return
    words = card.datum_words
    view = Drawing(name="", items=tuple(drill_view(card)))
    left, bottom, _, top = view.bounds
    rows = [_place_cells(place) for place in card.places]
    title = f"Drill card: holes of the {card.knife.stock.metal_word}, seen on the right-hand face, 1:1"
    first = room - _taken(words) - (top - bottom) - _GAP
    for i, table in enumerate(_PLACES.pages([(f"Lengths in {show_units()}", rows)], room, first=first)):
        if i:
            yield f"{title}, continued", (), table
        else:
            low = Drawing(name="", items=tuple(table)).moved(min(left, 0.0), bottom - _GAP)
            yield title, words, (*view.items, *low.items)


def _place_cells(place: DrilledPlace) -> tuple[str, ...]:
    return (
        "",
        place.name,
        show_both(place.along),
        show_both(place.off),
        show_both(place.diameter),
        place.drill,
        place.purpose,
        place.made,
        "",
    )


def _step_pages(card: DrillCard, room: float) -> Iterator[Page]:
    if not card.steps:
        return
    numbered = list(enumerate(card.steps, start=1))
    slabs = {"after hardening": _SLABS if card.knife.scales else ""}
    groups = [
        (title + slabs.get(phase, ""), [_step_cells(number, step) for number, step in numbered if step.phase == phase])
        for phase, title in _PHASES[card.knife.stock.hardens].items()
    ]
    title, first = "Drill card: in working order", room - _taken(card.cautions)
    for i, table in enumerate(_STEPS.pages(groups, room, first=first)):
        yield title + (", continued" if i else ""), () if i else card.cautions, table


def _step_cells(number: int, step: CardRow) -> tuple[str, ...]:
    return (
        "",
        f"{number}",
        ", ".join(step.holes),
        step.part,
        step.operation,
        step.tool,
        _stop(step),
        step.note,
        "",
    )


def _stop(step: CardRow) -> str:
    """Depth stop from which face, with its worst case; what goes through says so."""
    if step.depth is None:
        return "through" if step.makes and not step.checks else ""
    return f"{show_both(step.depth.nominal)} from the {step.face}{_range(step.depth)}"


def _range(depth: Interval) -> str:
    if depth.high - depth.low < _SHOWN:
        return ""
    return f"; {show_both(depth.low)} to {show_both(depth.high)} at worst"


_SHOWN = 0.005
"""Half the last digit of a length in mm."""

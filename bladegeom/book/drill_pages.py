"""The drill card: numbers at the holes of the tang, the steps in working order, stops to hold to the quill."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.book.brick import Brick, abreast, placed, space, whole, written
from bladegeom.book.caution_sign import SIGN, caution_sign
from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.drill_rows import PaperRow, blocks, names_told, paper_rows
from bladegeom.book.fit_numbers import fit_tables
from bladegeom.book.fit_section import fit_bricks
from bladegeom.book.hole_numbers import bands, number_items
from bladegeom.book.hole_view import BEYOND, HoleView
from bladegeom.book.step_bricks import block_bricks
from bladegeom.book.stop_strip import stops, strip_bricks
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Drawing, Sheet
from bladegeom.drawing.ruler import MARGIN
from bladegeom.drawing.type_sizes import HEAD, KEY, LEADING, TEXT
from bladegeom.drilling.card import DrillCard, DrilledPlace
from bladegeom.fasteners.alike import grouped, to_compare
from bladegeom.quantities.lettering import DEPTH, text_width
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.shown import caliper_length, scribed_length

_FOOT: Final = "Numbers are starting points; check before drilling. The shop's limits and local rules override."

_GAP: Final = 1.2
"""Between two steps, mm."""

_NAMES: Final = 60.0
"""Width of the names of like holes, mm, at most."""

_PHASES: Final = {
    True: {
        "before hardening": "Before hardening: the steel is soft",
        "after hardening": "After hardening: the steel is hard",
    },
    False: {"before hardening": "The blank", "after hardening": "The finished tang, which is not hardened"},
}
"""Of a metal that is hardened, and of one that is not."""

_SLABS: Final = "; scales are drilled as flat slabs"


def drill_pages(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """All pages of the drill card; none without any hole.

    Args:
        design: The knife, and what follows from it.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of every page.

    Raises:
        ExportError: Title and remarks leave no room.
    """
    card = design.drill_card
    if not card.places:
        return ()
    flow = ChapterFlow(papers[0], "Drill card", design.title, (*remarks, _FOOT))
    flow.begin()
    width, height, rows = flow.width, flow.left, paper_rows(card.steps)
    for brick, gap in (*_holes(card, width), *_steps(card, rows, width), *_fits(card, rows, width, height)):
        flow.fit(brick.height)
        flow.add(*placed((brick,), MARGIN, flow.y))
        flow.y -= brick.height + gap
    return flow.sheets()


Spaced = tuple[Brick, float]
"""A brick, and what stays free under it, mm."""


def _holes(card: DrillCard, width: float) -> Iterator[Spaced]:
    view = HoleView(card, width)
    chosen = bands(view)
    told = (
        f"The {card.knife.stock.metal_word} seen on the right-hand face, drawn {view.scale:g} : 1, not to be measured: "
        f"work to the numbers.{' One touch of the straightedge lies ahead of it.' if view.touches_beyond else ''}"
    )
    yield whole(written(told, width)), 1.0
    drawing = Drawing(name="", items=(*view.items(), *number_items(view, chosen)))
    _, low, _, high = drawing.bounds
    yield Brick(items=drawing.moved(BEYOND, -high).items, height=high - low), 1.5
    yield whole([brick for text in card.datum_words for brick in written(text, width)]), 1.0
    named = any(not column.full for band in chosen for column in band)
    for brick in _sizes(card, width, places=named):
        yield brick, 1.0


def _sizes(card: DrillCard, width: float, *, places: bool) -> Iterator[Brick]:
    """Holes of one size that are made alike, in one row; what others cut is told in size where it is checked.

    Args:
        card: What is drilled.
        width: Of the page between its borders, mm.
        places: Whether their places are told too, as the drawing has no room for them.
    """
    sizes = grouped(
        ((to_compare(place.diameter), place.drill, place.purpose), place)
        for place in card.places
        if place.made != "cut"
    )
    for _, group in sizes:
        yield _size(group, _where(group) if places else "", width)
    cut = grouped((place.purpose, place) for place in card.places if place.made == "cut")
    for purpose, group in cut:
        told = f"{_names(group)}: {purpose}, cut{_where(group) if places else ''}"
        yield whole(written(told, width))


def _names(places: Sequence[DrilledPlace]) -> str:
    return names_told(tuple(dict.fromkeys(place.name.rstrip("ab") for place in places)))


def _where(group: Sequence[DrilledPlace]) -> str:
    return "".join(
        f"; {place.name} along {scribed_length(place.along)}, off {scribed_length(place.off)}" for place in group
    )


def _size(group: Sequence[DrilledPlace], where: str, width: float) -> Brick:
    """Names, the diameter, and what makes it."""
    place, names = group[0], written(_names(group), _NAMES, size=HEAD, bold=True)
    shown = caliper_length(place.diameter)
    # The diameter itself is told already.
    drill = place.drill.partition(" (")[0] if place.drill.count("(") == 1 else place.drill
    told = (f"{shown.second}; " if shown.second else "") + f"{drill}; {place.purpose}, {place.made}{where}"
    number = text_width(shown.first, KEY, bold=True) + 2.0
    left = min(_NAMES, text_width(_names(group), HEAD, bold=True)) + 4.0
    down = space((KEY - HEAD) * (LEADING - DEPTH))
    lower = space((KEY - TEXT) * (LEADING - DEPTH))
    return abreast(
        [
            (0.0, (down, *names)),
            (left, written(shown.first, number, size=KEY, bold=True)),
            (left + number, (lower, *written(told, width - left - number))),
        ]
    )


def _cautions(card: DrillCard, width: float) -> Brick:
    left = SIGN + 2.0
    lines = [brick for text in card.cautions for brick in written(text, width - left)]
    return abreast([(0.0, [Brick(items=tuple(caution_sign(0.0, 0.0)), height=SIGN)]), (left, lines)])


def _steps(card: DrillCard, rows: Sequence[PaperRow], width: float) -> Iterator[Spaced]:
    yield _cautions(card, width), 1.2
    for phase, many in itertools.groupby(blocks(rows), key=lambda block: block.phase):
        slabs = _SLABS if card.knife.scales and phase == "after hardening" else ""
        head = written(_PHASES[card.knife.stock.hardens][phase] + slabs, width, size=HEAD, bold=True)
        bricks = [
            (brick, i == len(parts) - 1)
            for parts in (list(block_bricks(block, width)) for block in many)
            for i, brick in enumerate(parts)
        ]
        for i, (brick, last) in enumerate(bricks):
            yield brick if i else whole((*head, space(0.8), brick)), _GAP if last else 0.0


def _fits(card: DrillCard, rows: Sequence[PaperRow], width: float, height: float) -> Iterator[Spaced]:
    for table in fit_tables(card.stacks):
        for brick in fit_bricks(table, width, height):
            yield brick, 2.4
    for brick in strip_bricks(stops(rows), card.knife.shop.tolerances.depth_stop, width):
        yield brick, 3.0

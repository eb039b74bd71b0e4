"""The chapter of the handle: what to buy, sizes, the hand, and gauges to cut out."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence
from typing import Final

from bladegeom.book.cautioned import caution
from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.grind_numbers import Told
from bladegeom.book.station_table import RowGroup, StationTable, TableRow
from bladegeom.book.true_size import true_size
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Drawing, Sheet
from bladegeom.drawing.type_sizes import HEAD, LEADING, TEXT
from bladegeom.fasteners.stack import lines_to_buy, stacks
from bladegeom.handle.hand import hand_words
from bladegeom.handle.scale_blank import blanks
from bladegeom.handle.section import HandleSection, handle_sections
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Scales
from bladegeom.quantities.balance_bands import DATUM
from bladegeom.quantities.number_alone import alone, units_alone
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.shown import Shown, caliper_length, rule_length
from bladegeom.sheets.handle_gauge import handle_gauge, handle_gauge_notes
from bladegeom.sheets.scale_pages import CAUTION

_GAP = 3.0
"""Between blocks on a page, mm."""


def handle_pages(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """What is read, then gauges; nothing without scales.

    Args:
        design: The knife, and what follows from it.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of every page.

    Raises:
        ExportError: A page fits none of them.
    """
    knife, paper = design.knife, papers[0]
    if knife.scales is None:
        return ()
    sections = handle_sections(knife)
    flow = ChapterFlow(paper, "Handle", design.title, remarks)
    _lines(flow, "To buy for one knife", to_buy(knife, knife.scales))
    caution(flow, CAUTION)
    flow.y -= _GAP
    _sizes(flow, sections)
    _lines(flow, "The hand", tuple(gathered(tuple(hand_words(knife)))))
    true_size(flow, paper, "Gauges", handle_gauge_notes(), tuple(_cards(knife, sections)))
    return flow.sheets()


def to_buy(knife: Knife, scales: Scales) -> Iterator[str]:
    """What the handle of one knife is made of, a line each."""
    yield from (f"{blank.words}." for blank in blanks(knife))
    yield f"Each holds its cut-out with {rule_length(scales.margin)} all round; no bandsaw waste is counted."
    yield from lines_to_buy(stacks(knife))


def gathered(lines: Sequence[str]) -> Iterator[str]:
    """Lines that begin alike, up to a colon, as one that says it once.

    >>> list(gathered(("Girth 70 mm: wide.", "Girth 70 mm: as wanted.", "Try it.")))
    ['Girth 70 mm: wide; as wanted.', 'Try it.']
    """
    for head, group in itertools.groupby(lines, key=lambda text: text.partition(": ")[0]):
        rest = [text.partition(": ")[2].removesuffix(".") for text in group]
        yield f"{head}: {'; '.join(rest)}." if rest[0] else head


def _lines(flow: ChapterFlow, title: str, lines: Iterator[str] | Sequence[str]) -> None:
    flow.fit((HEAD + TEXT) * LEADING)
    flow.write(title, HEAD, bold=True)
    for text in lines:
        flow.write(text, TEXT)
    flow.y -= _GAP


def _sizes(flow: ChapterFlow, sections: Sequence[HandleSection]) -> None:
    if not sections:
        return
    units = units_alone()
    flow.fit(HEAD * LEADING * 6)
    flow.write("Finished handle, measured square to its run", HEAD, bold=True)
    flow.write(f"In {units.text}; x from {DATUM}.", TEXT)
    names = [f"{i}" for i in range(1, len(sections) + 1)]
    rows = (RowGroup(rows=tuple(size_rows(sections, narrow=narrow))) for narrow in (False, True))
    tables = [StationTable(names, (group,), flow.width) for group in rows]
    min(tables, key=lambda table: len(table.bands)).put(flow)


def size_rows(sections: Sequence[HandleSection], *, narrow: bool) -> Iterator[TableRow]:
    """What is measured at each station of a finished handle; its place in two lines where columns are narrow."""
    yield TableRow(
        head=Shown(first="place"),
        cells=tuple((Told(shown=_place(section, narrow=narrow), bold=False),) for section in sections),
    )
    for head, told, value in _SIZES:
        # Few columns: both units have room beside each other.
        texts = (alone(told(value(section))).text for section in sections)
        cells = ((Told(shown=Shown(first=text), bold=True),) for text in texts)
        yield TableRow(head=head, cells=tuple(cells))


def _place(section: HandleSection, *, narrow: bool) -> Shown:
    first, _, second = section.what.partition(", ")
    return Shown(first=f"{first},", second=second) if narrow and second else Shown(first=section.what)


_SIZES: Final[tuple[tuple[Shown, Callable[[float], Shown], Callable[[HandleSection], float]], ...]] = (
    (Shown(first="x"), rule_length, lambda section: section.x),
    (Shown(first="height"), caliper_length, lambda section: section.height),
    (Shown(first="width"), caliper_length, lambda section: section.width),
    (Shown(first="girth"), rule_length, lambda section: section.girth),
    (Shown(first="diameter, if round"), caliper_length, lambda section: section.diameter),
)
"""Each as the tool tells it that measures it."""


def _cards(knife: Knife, sections: Sequence[HandleSection]) -> Iterator[Drawing]:
    for number, section in enumerate(sections, start=1):
        yield Drawing(name=knife.name, items=tuple(handle_gauge(knife, section, number)))

"""The pass sheet of a cut file, to attach to the order: what is ordered, what was measured, and what was tested."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.book.blank_row import blank_row
from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.page_numbers import numbered_pages
from bladegeom.book.two_columns import column_width, two_columns
from bladegeom.cutfile.pass_words import Row, measured_rows, sizes_seen
from bladegeom.cutfile.preflight import TESTED, Preflight
from bladegeom.cutfile.preflight_design import Deviation
from bladegeom.drawing.drawing import Item, Label, Sheet
from bladegeom.drawing.type_sizes import HEAD, LEADING, TEXT
from bladegeom.quantities.lettering import spelled, text_width, wrapped
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.units import show_length
from bladegeom.sheets.pass_picture import part_picture

_HIGH: Final = 52.0
"""Room for the picture, mm."""

_APART: Final = 4.0
"""Between the names of a column and what belongs to them, mm."""

_BESIDE: Final = 2
"""Lines to write on that stand side by side."""

_MOST_FINDINGS: Final = 14
"""Findings that are told on the page; the command tells them all."""

_MOST_WARNINGS: Final = 5
"""The same of warnings where there are no errors."""


def pass_pages(
    preflight: Preflight,
    paper: Paper,
    *,
    title: str,
    order: Sequence[Row],
    off: Deviation | None,
    remarks: Sequence[str] = (),
) -> tuple[Sheet, ...]:
    """The pages, one as a rule.

    A file with errors has its findings in place of the order lines: it is not to be sent.

    Args:
        preflight: The file as checked.
        paper: To print on.
        title: Part and revision, or the file's name.
        order: Lines of the order.
        off: How far the file is off its design; None without one.
        remarks: Lines for the head.

    Raises:
        ExportError: Title and remarks leave no room.
    """
    errors = sum(finding.severity == "error" for finding in preflight.findings)
    kind = "Cut file NOT PASSED" if errors else "Pass sheet of the cut file"
    flow = ChapterFlow(paper, kind, title, remarks)
    flow.begin()
    flow.write(f"File {spelled(preflight.plan.name)}", TEXT)
    flow.write(_verdict(preflight, errors), TEXT, bold=True)
    _picture(flow, preflight)
    if errors:
        _findings(flow, preflight)
    else:
        _order(flow, order)
    _measured(flow, preflight, off)
    if not errors:
        warned = [f"[{f.code}] {spelled(f.message)}" for f in preflight.findings if f.severity == "warning"]
        _section(flow, "Warnings", _few(warned, _MOST_WARNINGS))
    _section(flow, "Tested, and nothing else", (f"{'; '.join(TESTED)}.", *_not_tested(preflight)))
    flow.write(f"sha256 of the file: {preflight.plan.sha256}", TEXT)
    return numbered_pages(flow.sheets(), title)


def _not_tested(preflight: Preflight) -> Iterator[str]:
    return (f"Not tested: {words}." for words in preflight.unsought)


def _verdict(preflight: Preflight, errors: int) -> str:
    thick = f" in {show_length(preflight.thickness)}" if preflight.thickness else ", thickness not given"
    warnings = sum(finding.severity == "warning" for finding in preflight.findings)
    count = f"{errors} error{'' if errors == 1 else 's'}, {warnings} warning{'' if warnings == 1 else 's'}"
    return f"Against the limits of {preflight.process.name}{thick}: {count}." + (" Do not send it." if errors else "")


def _picture(flow: ChapterFlow, preflight: Preflight) -> None:
    shown, scale = part_picture(preflight, flow.width, _HIGH)
    size = "1:1" if scale == 1 else f"1:{1 / scale:g}"
    flow.y -= 3.0
    flow.block(shown.moved(flow.x, 0.0).items, gap=1.0)
    flow.write(f"The DXF is to be cut, not this picture, which is {size}.", TEXT)


def _findings(flow: ChapterFlow, preflight: Preflight) -> None:
    told = [f"{n}. {f.severity} [{f.code}] {spelled(f.message)}" for n, f in enumerate(preflight.findings, start=1)]
    title = "Findings; crosses bear their numbers, of those close together the first"
    _section(flow, title, _few(told, _MOST_FINDINGS))


def _few(words: Sequence[str], most: int) -> Sequence[str]:
    if len(words) <= most:
        return words
    return (*words[:most], f"and {len(words) - most} more: bladegeom preflight FILE tells them all")


def _order(flow: ChapterFlow, order: Sequence[Row]) -> None:
    """What is known, and lines to write on for the rest."""
    _head(flow, "Order")
    known = [row for row in order if row[1]]
    names = _names(known)
    for name, value in known:
        _row(flow, name, value, names)
    blanks = [name for name, value in order if not value]
    for i in range(0, len(blanks), _BESIDE):
        blank_row(flow, blanks[i : i + _BESIDE], among=_BESIDE)


def _names(rows: Sequence[Row]) -> float:
    """Width of the column of names with what is free behind it, mm."""
    return max((text_width(name, TEXT) for name, _ in rows), default=0.0) + _APART


def _row(flow: ChapterFlow, name: str, value: str, names: float) -> None:
    for i, text in enumerate(wrapped(value, TEXT, flow.width - names)):
        flow.fit(TEXT * LEADING)
        flow.y -= TEXT * LEADING
        if not i:
            flow.add(Label(layer="NOTE", x=flow.x, y=flow.y, text=name, height=TEXT))
        flow.add(Label(layer="NOTE", x=flow.x + names, y=flow.y, text=text, height=TEXT))


def _measured(flow: ChapterFlow, preflight: Preflight, off: Deviation | None) -> None:
    """Two columns: what was measured, and what a program may show of it."""
    # Names of files and layers are whoever's drew them, and no reason to refuse the sheet.
    measured = [(name, spelled(value)) for name, value in measured_rows(preflight, off)]
    seen = [("", words) for words in sizes_seen(preflight)]
    width = column_width(flow)
    tables = (("Measured on the file as read back", measured), ("What a program may show", seen))
    flow.y -= 2.0
    two_columns(flow, [tuple(_table(title, rows, width)) for title, rows in tables if rows])


def _table(title: str, rows: Sequence[Row], width: float) -> Iterator[Item]:
    """A title, and rows under it, from the origin downwards."""
    y, names = -HEAD * LEADING, _names(rows) if any(name for name, _ in rows) else 0.0
    yield Label(layer="NOTE", x=0.0, y=y, text=title, height=HEAD, bold=True)
    y -= 0.8
    for name, value in rows:
        for i, text in enumerate(wrapped(value, TEXT, width - names)):
            y -= TEXT * LEADING
            if not i and name:
                yield Label(layer="NOTE", x=0.0, y=y, text=name, height=TEXT)
            yield Label(layer="NOTE", x=names, y=y, text=text, height=TEXT)


def _section(flow: ChapterFlow, title: str, lines: Sequence[str]) -> None:
    if lines:
        _head(flow, title)
        for text in lines:
            flow.write(text, TEXT)


def _head(flow: ChapterFlow, title: str) -> None:
    # No title stands alone at the foot of a page.
    flow.fit(HEAD * LEADING + 3 * TEXT * LEADING)
    flow.y -= 1.5
    flow.write(title, HEAD, bold=True)
    flow.y -= 0.5

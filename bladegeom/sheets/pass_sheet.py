"""The pass sheet of a cut file: one page to attach to the order, with what was measured and exactly what was tested."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.curves.build import line
from bladegeom.cutfile.pass_words import Row, measured_rows, sizes_seen
from bladegeom.cutfile.preflight import TESTED, Preflight
from bladegeom.cutfile.preflight_design import Deviation
from bladegeom.drawing.drawing import LEADER_PEN, SMALL_TEXT, Drawing, Item, Label, Path
from bladegeom.drawing.sheet import PagePiece
from bladegeom.quantities.lettering import spelled, wrapped
from bladegeom.quantities.units import show_length
from bladegeom.sheets.pass_picture import columns, part_picture

_WIDE, _HIGH = 232.0, 52.0
"""Room for the picture beside the standing ruler bar, mm."""

_LEFT, _RIGHT = 118.0, 108.0
"""Widths of the two columns, mm."""

_LEADING = 1.75 * SMALL_TEXT
"""From one base line to the next, mm."""

_WRITTEN = 2.4 * SMALL_TEXT
"""The same where something is to be written by hand, mm."""

_NAMES = 25.0
"""Width of the names of measured numbers, mm."""

_ORDER_NAMES = 42.0
"""Width of the names of order lines, mm."""

_MOST_FINDINGS = 14
"""Findings that are told on the page; the command tells them all."""

_MOST_WARNINGS = 5
"""The same of warnings where there are no errors: they stand under the measured numbers."""


def pass_sheet(
    preflight: Preflight,
    *,
    title: str,
    order: Sequence[Row],
    off: Deviation | None,
    remarks: Sequence[str] = (),
) -> tuple[PagePiece, PagePiece]:
    """The sheet for whatever paper: as it is drawn best, and with what is long to say of holes aside.

    A file with errors has its findings in place of the order lines: it is not to be sent.

    Args:
        preflight: The file as checked.
        title: Part and revision, or the file's name.
        order: Lines of the order.
        off: How far the file is off its design; None without one.
        remarks: Lines for the head.
    """
    errors = _errors(preflight)
    shown, scale = part_picture(preflight, _WIDE, _HIGH)
    scale_words = "true size, 1:1" if scale == 1 else f"reduced, 1:{1 / scale:g}"
    head = (
        f"{title}: {'cut file NOT PASSED' if errors else 'pass sheet of the cut file'}",
        f"File {spelled(preflight.plan.name)}; picture {scale_words}",
        f"sha256 {preflight.plan.sha256}",
        _verdict(preflight, errors),
        f"Tested, and nothing else: {'; '.join(TESTED)}.",
        *(f"Not tested: {words}." for words in preflight.unsought),
        *remarks,
    )
    foot = ("The DXF is to be cut, not this picture.",)
    blocks = [_block(preflight, order, off, aside=aside).moved(0.0, shown.bounds[1] - 5.0) for aside in (False, True)]
    drawings = [Drawing(name=preflight.plan.name, items=(*shown.items, *block.items)) for block in blocks]
    best, aside = (PagePiece(drawing=drawing, head=head, foot=foot) for drawing in drawings)
    return best, aside


def _block(preflight: Preflight, order: Sequence[Row], off: Deviation | None, *, aside: bool) -> Drawing:
    """What is said under the picture, in two columns; what is long to say of holes stands aside from the order."""
    errors = _errors(preflight)
    # Names of files and layers are whoever's drew them, and no reason to refuse the sheet.
    measured = [(name, spelled(value)) for name, value in measured_rows(preflight, off)]
    left = [*_rows("Measured on the file as read back", measured, _NAMES, _LEFT, blanks=False)]
    blocks: list[tuple[str, Sequence[str]]] = [("What a program may show", sizes_seen(preflight))]
    if not errors:
        warned = [f"[{f.code}] {spelled(f.message)}" for f in preflight.findings if f.severity == "warning"]
        blocks.append(("Warnings", _few(warned, _MOST_WARNINGS)))
    if aside and not errors:
        blocks.append(("Holes and layers", [words for name, words in order if not name]))
        order = [row for row in order if row[0]]
    for title, lines in blocks:
        left += _lines(title, lines, _LEFT, top=_lowest(left) - 0.6 * _LEADING) if lines else ()
    if errors:
        words = [
            f"{n}. {f.severity} [{f.code}] {spelled(f.message)}" for n, f in enumerate(preflight.findings, start=1)
        ]
        told = "Findings; crosses bear their numbers, of those close together the first"
        right = [*_lines(told, _few(words, _MOST_FINDINGS), _RIGHT, top=0.0)]
    else:
        right = [*_rows("Order", order, _ORDER_NAMES, _RIGHT, blanks=True)]
    return Drawing(name="", items=columns(left, right, _LEFT + 6.0))


def _errors(preflight: Preflight) -> int:
    return sum(finding.severity == "error" for finding in preflight.findings)


def _verdict(preflight: Preflight, errors: int) -> str:
    thick = f" in {show_length(preflight.thickness)}" if preflight.thickness else ", thickness not given"
    warnings = sum(finding.severity == "warning" for finding in preflight.findings)
    count = f"{errors} error{'' if errors == 1 else 's'}, {warnings} warning{'' if warnings == 1 else 's'}"
    return f"Against the limits of {preflight.process.name}{thick}: {count}." + (" Do not send it." if errors else "")


def _few(words: Sequence[str], most: int) -> Sequence[str]:
    if len(words) <= most:
        return words
    return (*words[:most], f"and {len(words) - most} more: bladegeom preflight FILE tells them all")


def _rows(title: str, rows: Sequence[Row], names: float, width: float, *, blanks: bool) -> Iterator[Item]:
    """Names with what belongs to them, upper left corner at the origin; a line to write on where there is nothing."""
    y = -SMALL_TEXT
    yield Label(layer="NOTE", x=0.0, y=y, text=title, height=SMALL_TEXT, bold=True)
    for name, value in rows:
        y -= _WRITTEN if blanks and not value else _LEADING
        if name:
            yield Label(layer="NOTE", x=0.0, y=y, text=name, height=SMALL_TEXT)
        if blanks and not value:
            yield Path(layer="NOTE", curve=line((names, y - 0.4), (width, y - 0.4)), pen=LEADER_PEN)
        for k, part in enumerate(wrapped(value, SMALL_TEXT, width - names)):
            y -= _LEADING if k else 0.0
            yield Label(layer="NOTE", x=names, y=y, text=part, height=SMALL_TEXT)


def _lines(title: str, lines: Sequence[str], width: float, *, top: float) -> Iterator[Item]:
    y = top - SMALL_TEXT
    yield Label(layer="NOTE", x=0.0, y=y, text=title, height=SMALL_TEXT, bold=True)
    for text in lines:
        for k, part in enumerate(wrapped(text, SMALL_TEXT, width - 2.0)):
            y -= _LEADING
            yield Label(layer="NOTE", x=2.0 if k else 0.0, y=y, text=part, height=SMALL_TEXT)


def _lowest(items: Sequence[Item]) -> float:
    return min(item.y for item in items if isinstance(item, Label))

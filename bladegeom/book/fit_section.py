"""The section through a fastener with depth stops, and beside it the table of its numbers, a line to each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.book.brick import Brick, abreast, height_of, placed, space, written
from bladegeom.book.drill_rows import names_told
from bladegeom.book.fit_numbers import FitRow, FitTable
from bladegeom.book.hole_numbers import units
from bladegeom.curves.build import line
from bladegeom.drawing.dimension import dimension_line
from bladegeom.drawing.drawing import CENTRE_PEN, THIN_PEN, Drawing, Item, Label, Path
from bladegeom.drawing.type_sizes import HEAD, LEADING, TEXT
from bladegeom.quantities.lettering import text_width, wrapped
from bladegeom.sheets.stack_section import section_regions

_SCALES: Final = (4.0, 3.0, 2.0, 1.5, 1.0, 0.5, 0.25)
_WIDEST, _HIGHEST = 58.0, 56.0
"""Of the section itself, mm on paper."""

_STEP: Final = TEXT * LEADING
"""From one line of the table to the next, mm."""

_BEYOND: Final = 2.0
"""That the centre line reaches out of a section, mm."""

_PITCH: Final = 2.8
"""From one dimension line to the next, mm."""

_FAN: Final = 12.0
"""In which the lines from the dimensions spread to their rows, mm."""

_GAP: Final = 3.0
"""Between two columns of the table, mm."""

_NARROWEST: Final = 44.0
"""Of the words under a section, mm."""

_NAMES: Final = 24.0
"""Of the fasteners that have a value, mm on a line."""

_UNDER: Final = 2.0
"""Between a section and the words under it, mm."""

_WORDS: Final = "From the butt, right scale to the right. Dashed: before contouring, and hidden thread."

_COLUMN_GAP: Final = 8.0
"""Between two halves of a table, mm."""

_CELLS: Final = 5
"""Words, fasteners, nominal, worst case, at least."""


def fit_bricks(table: FitTable, width: float, height: float) -> Iterator[Brick]:
    """What is told of a table, in parts with a section each where it is higher than a page.

    Args:
        table: Of one kind of hardware.
        width: That a part may take, mm.
        height: That a part may take, mm, unless all in it are alike.
    """
    whole, half = fit_brick(table, width), (len(table.groups) + 1) // 2
    if whole.height <= height or len(table.groups) == 1:
        yield whole
        return
    for groups in (table.groups[:half], table.groups[half:]):
        yield from fit_bricks(FitTable(groups), width, height)


def fit_brick(table: FitTable, width: float) -> Brick:
    """Title, section where anything is sunk to a depth, and table.

    Args:
        table: Of one kind of hardware.
        width: That it may take, mm.
    """
    names = names_told(table.names)
    if not table.has_stops:
        return _in_columns(table.rows, f"{names}: {table.kind}", width)
    told = _table(table.rows)
    room = width - Drawing(name="", items=told.drawn).bounds[2] - _FAN
    section, ends, scale = _section(table, min(room - 2 * _BEYOND, _WIDEST))
    title = f"Section through {names}: {table.kind}, drawn at {table.first.names[0]}, {scale:g} : 1"
    x0, low, x1, high = section.bounds
    left = max(x1 - x0, min(room, _NARROWEST)) + _FAN
    under = written(_WORDS, left - _FAN)
    if high - low + _UNDER + height_of(under) > told.height:
        over, under = written(_WORDS, width), ()
    else:
        over = ()
    drawn = high - low + (_UNDER + height_of(under) if under else 0.0)
    tall = max(drawn, told.height)
    down, top = (told.height - tall) / 2, (drawn - tall) / 2 - high
    leaders = (
        Path(layer="NOTE", curve=line((x - x0, y + top), (left - _FAN, y + top), (left - 1.0, down - at)), pen=THIN_PEN)
        for (x, y), at in zip(ends, _centres(table), strict=True)
    )
    items = (
        *section.moved(-x0, top).items,
        *leaders,
        *placed(under, 0.0, top + low - _UNDER),
        *Drawing(name="", items=told.drawn).moved(left, down).items,
    )
    head = (*written(title, width, size=HEAD, bold=True), *over, space(1.0))
    return abreast([(0.0, (*head, Brick(items=items, height=tall)))])


def _section(table: FitTable, widest: float) -> tuple[Drawing, list[tuple[float, float]], float]:
    """The section with its dimension lines, no wider than that, where each of them ends, and the scale."""
    shapes, drawn = table.first.shapes, [row.drawn for row in table.rows if row.drawn]
    reach = max(*(abs(v) for dimension in drawn for v in (dimension.low, dimension.high)), shapes.slab_top)
    low, high = shapes.window
    scale = next((s for s in _SCALES if 2 * s * reach <= widest and s * (high - low) <= _HIGHEST), _SCALES[-1])
    items: list[Item] = list(section_regions(shapes, scale, hatch=THIN_PEN, ends=THIN_PEN))
    right = scale * reach + _BEYOND
    items.append(Path(layer="NOTE", curve=line((-right, 0.0), (right, 0.0)), pen=CENTRE_PEN))
    above = [dimension for dimension in drawn if dimension.name in {d.name for d in shapes.section.above}]
    ends = list[tuple[float, float]]()
    for i, dimension in enumerate(drawn):
        up = dimension in above
        y = scale * high + (len(above) - i) * _PITCH if up else scale * low - (i - len(above) + 1) * _PITCH
        items += dimension_line(dimension, scale, y, up=1.0 if up else -1.0, extension=THIN_PEN)
        ends.append((scale * max(dimension.low, dimension.high), y))
    return Drawing(name="", items=tuple(items)), ends, scale


def _centres(table: FitTable) -> list[float]:
    """How far under the table's top the first line of each dimensioned row stands, mm."""
    y, out = _STEP, list[float]()
    for row in table.rows:
        if row.drawn:
            out.append(y + _STEP / 2)
        y += _STEP * len(list(_cells(row)))
    return out


def _in_columns(rows: Sequence[FitRow], title: str, width: float) -> Brick:
    """The table in two halves beside each other where they have room."""
    half = (len(rows) + 1) // 2
    parts = [_table(rows[:half], title), _table(rows[half:])]
    rights = [Drawing(name="", items=part.drawn).bounds[2] for part in parts]
    if sum(rights) + _COLUMN_GAP <= width:
        return abreast([(0.0, parts[:1]), (rights[0] + _COLUMN_GAP, parts[1:])])
    whole = _table(rows)
    return abreast([(0.0, (*written(title, width, size=HEAD, bold=True), whole))])


def _table(rows: Sequence[FitRow], title: str = "") -> Brick:
    """Rows below their heads; columns as wide as their texts."""
    body = [cells for row in rows for cells in _cells(row)]
    first, second = units()
    heads = (title, "", f"{first} ({second})", f"worst case, {first}", f"at least, {first}")
    used = [any(cells[i] for cells in body) for i in range(_CELLS)]
    grid = [tuple(head if filled else "" for head, filled in zip(heads, used, strict=True)), *body]
    left = [0.0]
    for i in range(_CELLS - 1):
        taken = max(text_width(cells[i], TEXT, bold=True) for cells in grid)
        left.append(left[-1] + (taken + _GAP if taken else 0.0))
    return Brick(items=tuple(_grid_items(grid, left)), height=len(grid) * _STEP)


def _cells(row: FitRow) -> Iterator[tuple[str, ...]]:
    for i, told in enumerate(row.lines):
        names, *more = wrapped(told.names, TEXT, _NAMES, bold=True)
        yield "" if i else row.words, names, told.nominal, told.worst, told.least
        yield from (("", others, "", "", "") for others in more)


def _grid_items(grid: Sequence[Sequence[str]], left: Sequence[float]) -> Iterator[Label]:
    for i, cells in enumerate(grid):
        y = -(i + 1) * _STEP + 0.25 * TEXT
        for j, text in enumerate(cells):
            if text:
                yield Label(layer="NOTE", x=left[j], y=y, text=text, height=TEXT, bold=i == 0 or j == 1)

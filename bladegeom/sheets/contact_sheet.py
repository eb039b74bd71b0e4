"""Contact sheets: many small outlines at one scale, to judge a profile and its parameters by eye."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, cast

import numpy as np

from bladegeom.curves.curve import join
from bladegeom.drawing.drawing import Drawing, Item, Label, Path, Pen, Sheet
from bladegeom.outline.halves import BladeProfile, HandleProfile
from bladegeom.outline.outline import Outline, join_halves
from bladegeom.outline.parameter import parameters

_WIDTH, _MARGIN, _BETWEEN = 297.0, 10.0, 8.0
"""Of the page, its border, and between two columns, mm."""

_HEAD, _TEXT = 4.5, 2.6
"""Heights of the title and of the other lines, mm."""

_SCALES = (1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 6.0, 8.0, 10.0)
"""An outline is drawn this many times smaller than it is: the first that fits."""

_STEEL, _PARTNER, _LINE = Pen(width=0.05, grey=0.82), Pen(width=0.05, grey=0.94), Pen(width=0.25)
_OTHER = Pen(width=0.13, grey=0.35, dashes=(1.2, 0.8))
"""The half that the sheet shows, the other half, the outline, and the outline that it is to be compared with."""


@dataclass(frozen=True, kw_only=True)
class Cell:
    """One small picture.

    Args:
        title: What stands over it.
        outline: What it shows.
        half: Which half is meant: "blade", "handle", or "both".
        beside: An outline to compare it with, drawn dashed.
    """

    title: str
    outline: Outline
    half: str = "both"
    beside: Outline | None = None


def contact_sheet(profile: type, partner: BladeProfile | HandleProfile, *, title: str) -> Sheet:
    """A profile as it comes, and with each parameter at both ends of its range.

    Args:
        profile: The class of a blade or of a handle profile.
        partner: A half that it is joined to.
        title: What stands over the sheet.

    Raises:
        BladegeomError: An end of a range cannot be drawn.
    """
    plain = plain_cell(profile, partner, title="as it comes")
    rows = [[plain]]
    for parameter in parameters(profile):
        ends = []
        for value in (parameter.low, parameter.high):
            outline = _joined(dataclasses.replace(profile(), **{parameter.name: value}), partner)
            text = f"{parameter.name} = {value:g} {parameter.unit} (comes with {parameter.default:g})"
            ends.append(Cell(title=text, outline=outline, half=plain.half, beside=plain.outline))
        rows.append(ends)
    return grid_sheet(rows, title=title)


def plain_cell(profile: type, partner: BladeProfile | HandleProfile, *, title: str) -> Cell:
    """A profile as it comes.

    Args:
        profile: The class of a blade or of a handle profile.
        partner: A half that it is joined to.
        title: What stands over it.
    """
    half = "blade" if isinstance(partner, HandleProfile) else "handle"
    return Cell(title=title, outline=_joined(profile(), partner), half=half)


def profile_picture(cell: Cell) -> Drawing:
    """A cell alone, a third of its size, without its title."""
    return Drawing(name=cell.title, items=tuple(_drawn(cell, 0.0, 0.0, 3.0)))


def in_rows(cells: Sequence[Cell], columns: int) -> list[list[Cell]]:
    """Cells in rows of so many."""
    return [list(cells[i : i + columns]) for i in range(0, len(cells), columns)]


def grid_sheet(rows: Sequence[Sequence[Cell]], *, title: str) -> Sheet:
    """Small pictures in rows and columns, all at one scale, on a page as high as they need."""
    columns = max(len(row) for row in rows)
    column = (_WIDTH - 2 * _MARGIN - (columns - 1) * _BETWEEN) / columns
    cells = [cell for row in rows for cell in row]
    left = min(cell.outline.bounds[0] for cell in cells)
    right = max(cell.outline.bounds[2] for cell in cells)
    scale = next((s for s in _SCALES if (right - left) / s <= column), (right - left) / column)
    told = f"{title} ({'full size' if scale == 1 else f'1 : {scale:.3g}'})"
    items: list[Item] = [Label(layer="NOTE", x=_MARGIN, y=-_HEAD, text=told, height=_HEAD, bold=True)]
    y = -_HEAD - 2 * _TEXT
    for row in rows:
        top = max(_reach(cell)[1] for cell in row) / scale
        bottom = min(_reach(cell)[0] for cell in row) / scale
        y -= 1.6 * _TEXT
        for i, cell in enumerate(row):
            x = _MARGIN + i * (column + _BETWEEN)
            items.append(Label(layer="NOTE", x=x, y=y, text=cell.title, height=_TEXT))
            items += _drawn(cell, x - left / scale, y - _TEXT - top, scale)
        y -= _TEXT + top - bottom + _TEXT
    height = math.ceil(-y + 2 * _MARGIN)
    drawing = Drawing(name=title, items=tuple(items)).moved(0.0, height - _MARGIN)
    return Sheet(width=_WIDTH, height=float(height), drawing=drawing)


def _joined(half: object, partner: BladeProfile | HandleProfile) -> Outline:
    """A half and its partner, whichever is which; ``join_halves`` refuses two of a kind."""
    return join_halves(*cast(Any, (half, partner) if isinstance(partner, HandleProfile) else (partner, half)))


def _reach(cell: Cell) -> tuple[float, float]:
    """Least and greatest y of a cell, mm at full size."""
    both = [outline for outline in (cell.outline, cell.beside) if outline is not None]
    return min(outline.bounds[1] for outline in both), max(outline.bounds[3] for outline in both)


def _drawn(cell: Cell, x: float, y: float, scale: float) -> list[Item]:
    """An outline with its origin at a place of the page."""
    outline = cell.outline
    blade = join(outline.choil, outline.edge, outline.spine)
    handle = join(outline.handle_top, outline.butt, outline.handle_underside)
    pens = {"blade": (_STEEL, _PARTNER), "handle": (_PARTNER, _STEEL), "both": (_STEEL, _STEEL)}[cell.half]
    items = [
        Path(layer="NOTE", curve=c, closed=True, pen=p, filled=True) for c, p in zip((blade, handle), pens, strict=True)
    ]
    items.append(Path(layer="NOTE", curve=outline.loop, closed=True, pen=_LINE))
    if cell.beside is not None:
        items.append(Path(layer="NOTE", curve=cell.beside.loop, closed=True, pen=_OTHER))
    matrix = np.array([[1 / scale, 0.0, x], [0.0, 1 / scale, y]])
    return [dataclasses.replace(item, curve=item.curve.transformed(matrix)) for item in items]

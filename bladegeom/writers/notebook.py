"""What values show of themselves in a notebook: pictures, and findings as a table."""

from __future__ import annotations

from bladegeom.curves.curve import Curve
from bladegeom.drawing.drawing import CUT_PEN, Drawing, Item, Path, Sheet
from bladegeom.knife.finding import Findings
from bladegeom.knife.knife import Knife
from bladegeom.nesting.nest import Nest
from bladegeom.outline.outline import Outline
from bladegeom.sheets.card_view import view_items
from bladegeom.sheets.nest_drawing import border
from bladegeom.writers.html import html_page
from bladegeom.writers.svg import svg_of_drawing, svg_of_sheet

_APART = 20.0
"""Between two pieces of stock, mm."""


def findings_table(findings: Findings) -> str:
    """Findings as a table."""
    return html_page("findings_table.html.j2", findings=findings).decode()


def drawing_picture(drawing: Drawing) -> str:
    """A drawing on a page that just holds it."""
    return svg_of_drawing(drawing).decode()


def sheet_picture(sheet: Sheet) -> str:
    """A page as it is printed."""
    return svg_of_sheet(sheet).decode()


def outline_picture(outline: Outline) -> str:
    """The line alone."""
    return drawing_picture(Drawing(name="Outline", items=(_closed(outline.loop),)))


def knife_picture(knife: Knife) -> str:
    """The right face with its holes and scribed lines, without words."""
    return drawing_picture(Drawing(name=knife.name, items=tuple(view_items(knife))))


def nest_picture(nest: Nest) -> str:
    """All pieces of stock below each other, with the outlines of their blanks."""
    items: list[Item] = []
    for number, piece in enumerate(nest.pieces):
        blanks = (_closed(place.lying.loop.moved(place.x, place.y)) for place in piece.places)
        drawn = Drawing(name="", items=(border(piece.stock), *blanks))
        items += drawn.moved(0.0, -number * (piece.stock.width + _APART)).items
    return drawing_picture(Drawing(name="Nest", items=tuple(items)))


def _closed(curve: Curve) -> Path:
    return Path(layer="CUT", curve=curve, closed=True, pen=CUT_PEN)

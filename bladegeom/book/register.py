"""The register of chapters: all that is printed for one knife, in working order, a row for each; and their binding."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from typing import Annotated, Final

from bladegeom.book.care_pages import care_pages
from bladegeom.book.drill_pages import drill_pages
from bladegeom.book.first_page import first_page
from bladegeom.book.grind_pages import grind_pages
from bladegeom.book.handle_pages import handle_pages
from bladegeom.book.inspection_pages import inspection_pages
from bladegeom.book.order_pages import order_pages
from bladegeom.book.page_kind import Page, Papers, plain_page
from bladegeom.book.printed import Printed
from bladegeom.book.route_pages import route_pages
from bladegeom.book.traveller import heat_treater_page
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Sheet
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.field_rules import Like
from bladegeom.quantities.file_errors import ExportError
from bladegeom.sheets.balance_pages import balance_pages
from bladegeom.sheets.blade_sheet import blade_pages


def page_named(name: str) -> Page:
    """A row of the register.

    Raises:
        ParameterError: It is no name.
        UnknownNameError: There is no page of that name.
    """
    checked("page: name", name, Annotated[str, Like('"template"')])
    rows = {row.name: row for row in (BOOK, *CHAPTERS, *APART)}
    if name not in rows:
        raise UnknownNameError("page", name, rows)
    return rows[name]


def nothing_to_show(design: Design, name: str) -> ExportError:
    """That a page was asked for on which a design has nothing to show."""
    return ExportError(f"{design.knife.name} has nothing to show on the page {name!r}")


def _template(design: Design, papers: Papers, remarks: Sequence[str]) -> Iterator[Printed]:
    for pages in blade_pages(design, papers, remarks=remarks):
        single = dict[str, Sheet]()
        name = f"template_{pages.paper.name}"
        for flank, sheets in pages.faces.items():
            face = name if flank == "right" else f"{name}_left"
            for i, sheet in enumerate(sheets, start=1):
                if not any(sheet is other for other in single.values()):
                    single[f"{face}_{i}of{len(sheets)}" if len(sheets) > 1 else face] = sheet
        yield Printed(name=name, sheets=pages.sheets, single=single)


def _book(design: Design, papers: Papers, remarks: Sequence[str]) -> Iterator[Printed]:
    """Every chapter that has something to show, bound together; what is drawn for a larger paper as well, beside it."""
    sheets, single, chapters, beside = list[Sheet](), dict[str, Sheet](), list[tuple[str, int]](), list[Printed]()
    for row in CHAPTERS:
        first = len(sheets)
        for made in row.draw(design, papers, remarks):
            single |= made.single
            if made.name.endswith(f"_{papers[0].name}"):
                sheets += made.sheets
            else:
                beside.append(dataclasses.replace(made, single={}))
        chapters += [(row.title, first)] if len(sheets) > first else []
    yield Printed(name=f"book_{papers[0].name}", sheets=tuple(sheets), single=single, chapters=tuple(chapters))
    yield from beside


def _a_study(_design: Design) -> str:
    return "a study of what moves the balance, not for the bench"


CHAPTERS: Final = (
    plain_page("knife", "The knife", first_page),
    plain_page("order", "The order", order_pages),
    plain_page("route", "The route", route_pages),
    Page(name="template", title="Template", draw=_template),
    plain_page("drill", "Drill card", drill_pages),
    plain_page("grind", "Grind sheet", grind_pages),
    plain_page("handle", "Handle", handle_pages),
    plain_page("inspection", "Inspection", inspection_pages),
    plain_page("care", "Care", care_pages),
)
"""What the book holds, in working order. A new chapter is a function of a design in a file of its own, named here."""

APART: Final = (
    plain_page("heat_treater", "For the heat treater", heat_treater_page),
    plain_page("balance", "Balance", balance_pages, apart=_a_study),
)
"""What is printed only where it is asked for."""

BOOK: Final = Page(name="book", title="Bench book", draw=_book, remarks=lambda design: design.job_card.remarks)
"""All that is printed for one knife; what it asks for at the bench is told on every page."""

"""The register of chapters: all that is printed for one knife, in working order, a row for each; and their binding."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated, Final

from bladegeom.book.page_numbers import numbered_pages
from bladegeom.book.printed import Printed
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Sheet
from bladegeom.drawing.printer import Printer
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.field_rules import Like
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.papers import Paper
from bladegeom.sheets.balance_pages import balance_pages
from bladegeom.sheets.blade_sheet import blade_pages
from bladegeom.sheets.card_pages import job_card_pages
from bladegeom.sheets.drill_sheet import drill_pages
from bladegeom.sheets.grind_pages import grind_pages
from bladegeom.sheets.handle_pages import handle_pages

Papers = Sequence[Paper]
"""To choose from, the preferred one first."""


def _design_remarks(design: Design) -> tuple[str, ...]:
    return design.remarks


def _never(_design: Design) -> str:
    return ""


@dataclass(frozen=True, kw_only=True)
class Page:
    """One kind of page.

    Args:
        name: Of the page, and of its file behind the knife's name.
        draw: What is printed of a design on some papers, with lines that every page says; nothing where it has
            nothing to show.
        remarks: Lines that every page of a design says.
        left_out: Why an export prints it only where it is asked for; nothing where it prints it.
        title: In the book's bookmarks.
    """

    name: str
    draw: Callable[[Design, Papers, Sequence[str]], Iterable[Printed]]
    remarks: Callable[[Design], tuple[str, ...]] = _design_remarks
    left_out: Callable[[Design], str] = _never
    title: str = ""


def printed(
    design: Design, pages: Iterable[Page], sets: Iterable[Papers], printer: Printer | None = None
) -> Iterator[Printed]:
    """Pages of a design on each set of papers.

    Args:
        design: What is drawn.
        pages: Rows of the register.
        sets: Papers, each set with the preferred one first.
        printer: Against whose error they are drawn; None draws for any.

    Raises:
        ParameterError: Something else than a printer.
        ExportError: A page fits no paper of a set.
    """
    checked("print: printer", printer, Printer | None)
    rows = tuple(pages)
    for papers in sets:
        for page in rows:
            if printer is None:
                yield from page.draw(design, papers, page.remarks(design))
            else:
                said = (*page.remarks(design), printer.words)
                for made in page.draw(design, [printer.room(paper) for paper in papers], said):
                    yield made.corrected(printer)


def bound(design: Design, papers: Papers, printer: Printer | None = None) -> Printed:
    """The book: every chapter that has something to show, bound together, its pages numbered through.

    Args:
        design: What is drawn.
        papers: To choose from, the preferred one first.
        printer: Against whose error it is drawn; None draws for any.

    Raises:
        ParameterError: Something else than a printer.
        ExportError: A page fits none of the papers.
    """
    sheets, chapters = list[Sheet](), list[tuple[str, int]]()
    for row in CHAPTERS:
        drawn = [sheet for made in printed(design, (row,), (papers,), printer) for sheet in made.sheets]
        if drawn:
            chapters.append((row.title, len(sheets)))
            sheets += drawn
    return Printed(
        name=f"book_{papers[0].name}",
        sheets=numbered_pages(sheets, f"{design.knife.name} {design.job_card.mark}"),
        chapters=tuple(chapters),
    )


def page_named(name: str) -> Page:
    """A row of the register.

    Raises:
        ParameterError: It is no name.
        UnknownNameError: There is no page of that name.
    """
    checked("page: name", name, Annotated[str, Like('"template"')])
    rows = {row.name: row for row in (*PAPERS, JOB_CARD)}
    if name not in rows:
        raise UnknownNameError("page", name, rows)
    return rows[name]


def _template(design: Design, papers: Papers, remarks: Sequence[str]) -> Iterator[Printed]:
    for pages in blade_pages(design, papers, remarks=remarks):
        single: dict[str, Sheet] = {}
        for flank, sheets in pages.faces.items():
            face = "" if flank == "right" else "_left"
            for i, sheet in enumerate(sheets, start=1):
                single[f"{face}_{i}of{len(sheets)}" if len(sheets) > 1 else face] = sheet
        yield Printed(name=f"template_{pages.paper.name}", sheets=pages.sheets, single=single)


def nothing_to_show(design: Design, name: str) -> ExportError:
    """That a page was asked for on which a design has nothing to show."""
    return ExportError(f"{design.knife.name} has nothing to show on the page {name!r}")


def _plain(name: str, draw: Callable[..., tuple[Sheet, ...]], *, left_out: Callable[[Design], str] = _never) -> Page:
    """A page whose file is called like it and its paper."""

    def drawn(design: Design, papers: Papers, remarks: Sequence[str]) -> Iterator[Printed]:
        if sheets := draw(design, papers, remarks=remarks):
            yield Printed(name=f"{name}_{papers[0].name}", sheets=sheets)

    return Page(name=name, draw=drawn, left_out=left_out)


def _job_card(design: Design, papers: Papers, remarks: Sequence[str]) -> Iterator[Printed]:
    yield Printed(name=f"job_card_{papers[0].name}", sheets=job_card_pages(design, papers, remarks=remarks))


def _no_holes_to_judge(design: Design) -> str:
    judged = any(opening.purpose == "lightening" for opening in design.knife.openings)
    return "" if judged else "there are no lightening holes to judge"


PAPERS: Final = (
    Page(name="template", draw=_template),
    _plain("grind", grind_pages),
    _plain("handle", handle_pages),
    _plain("drill", drill_pages),
    _plain("balance", balance_pages, left_out=_no_holes_to_judge),
)
"""What an export prints. A new page is a function of a design in a file of its own, named here."""

JOB_CARD: Final = Page(name="job_card", draw=_job_card, remarks=lambda design: design.job_card.remarks)
"""What travels with one knife through the shop; an export prints it where an order or work is declared."""

CHAPTERS: Final = tuple(
    dataclasses.replace(row, title=title)
    for row, title in zip(PAPERS[:4], ("Template", "Grind sheet", "Handle", "Drill card"), strict=True)
)
"""Of the book, in working order."""

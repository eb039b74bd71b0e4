"""One kind of printed page: what draws it, what every page of it says, and how it comes onto paper with its number."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from bladegeom.book.printed import Printed
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Sheet
from bladegeom.drawing.printer import Printer
from bladegeom.quantities.declared import checked
from bladegeom.quantities.papers import Paper

Papers = Sequence[Paper]
"""To choose from, the preferred one first."""


def _design_remarks(design: Design) -> tuple[str, ...]:
    return design.remarks


def _nothing(_design: Design) -> str:
    return ""


@dataclass(frozen=True, kw_only=True)
class Page:
    """One kind of page.

    Args:
        name: Of the page, and of its file behind the knife's name.
        title: In the bookmarks of the book.
        draw: What is printed of a design on some papers, with lines that every page says; nothing where it has
            nothing to show.
        remarks: Lines that every page of a design says.
        apart: Of what no book holds: why, where it is worth telling.
    """

    name: str
    title: str
    draw: Callable[[Design, Papers, Sequence[str]], Iterable[Printed]]
    remarks: Callable[[Design], tuple[str, ...]] = _design_remarks
    apart: Callable[[Design], str] = _nothing


def plain_page(
    name: str, title: str, draw: Callable[..., tuple[Sheet, ...]], *, apart: Callable[[Design], str] = _nothing
) -> Page:
    """A page whose file is called like it and its paper."""

    def drawn(design: Design, papers: Papers, remarks: Sequence[str]) -> Iterator[Printed]:
        if sheets := draw(design, papers, remarks=remarks):
            yield Printed(name=f"{name}_{papers[0].name}", sheets=sheets)

    return Page(name=name, title=title, draw=drawn, apart=apart)


def printed(
    design: Design, pages: Iterable[Page], sets: Iterable[Papers], printer: Printer | None = None
) -> Iterator[Printed]:
    """Pages of a design on each set of papers, numbered within each file.

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
            said = page.remarks(design) if printer is None else (*page.remarks(design), printer.words)
            room = papers if printer is None else [printer.room(paper) for paper in papers]
            for made in page.draw(design, room, said):
                whole = made.numbered(design.knife.name, design.job_card.mark)
                yield whole if printer is None else whole.corrected(printer)

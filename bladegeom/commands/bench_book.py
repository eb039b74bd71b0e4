"""The bench book: everything that travels with one knife through the shop, as PDF, and a card to fill on a screen."""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.book.page_kind import printed
from bladegeom.book.printed import paper_sets
from bladegeom.book.register import BOOK
from bladegeom.design.design import Design
from bladegeom.design.own_settings import in_own_settings
from bladegeom.drawing.printer import Printer
from bladegeom.quantities.declared import checked
from bladegeom.writers.card_page import card_page
from bladegeom.writers.files import Files, file_stem
from bladegeom.writers.printout import files_of


@in_own_settings
def bench_book(design: Design, *, papers: Sequence[str] | None = None, printer: Printer | None = None) -> Files:
    """The bench book of a design: a PDF for each set of papers, the templates as pictures, and a page to browse.

    An error that stands is told on every page.

    Args:
        design: The knife with its order and its work.
        papers: Names such as "A4"; None takes the one of the design's settings, which is A4 where nobody set any.
        printer: Against whose error it is drawn; None takes the one of its settings, or draws for any.

    Returns:
        The files by name; ``.save("folder")`` writes them.

    Raises:
        ParameterError: A value of another kind.
        ExportError: A page fits no paper.

    >>> book = bench_book(design, papers=("A4",))
    >>> [name for name in book if not name.endswith(".svg")]
    ['rigging-knife_rev-A_job_card.html', 'rigging-knife_rev-A_book_A4.pdf']
    >>> sorted(path.suffix for path in book.save(folder))
    ['.html', '.pdf', '.svg']
    """
    checked("bench_book: design", design, Design)
    stem = file_stem(design.knife.name, design.knife.revision)
    contents = {card_name(stem): card_page(design.job_card, design.knife)}
    printer = design.settings.printer if printer is None else printer
    for made in printed(design, (BOOK,), paper_sets(papers, design.settings.paper), printer):
        contents |= files_of(made, stem, design.date)
    return Files(contents)


def card_name(stem: str) -> str:
    """The file of the page to browse."""
    return f"{stem}_job_card.html"

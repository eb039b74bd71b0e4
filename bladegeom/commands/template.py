"""Single pages of a design: its template, or any other page of the register."""

from __future__ import annotations

from bladegeom.book.page_kind import printed
from bladegeom.book.register import nothing_to_show, page_named
from bladegeom.design.design import Design
from bladegeom.design.own_settings import in_own_settings
from bladegeom.drawing.printer import Printer
from bladegeom.quantities.declared import checked
from bladegeom.quantities.papers import paper as paper_named
from bladegeom.writers.printout import Printout


def template(design: Design, *, paper: str | None = None, printer: Printer | None = None) -> Printout:
    """The blade's template at true size, its faces and the bar from above; joined from pages where it must be.

    Args:
        design: The knife with all that decides about it.
        paper: Such as "A4" or "Letter"; None takes the one of the design's settings, A4 where nobody set any.
        printer: Against whose error it is drawn; None takes the one of its settings, or draws for any.

    Returns:
        The pages; ``template(design).save("template.pdf")`` writes them.

    Raises:
        ParameterError: A value of another kind.
        UnknownNameError: No such paper.
        ExportError: It does not go on this paper, not even in pages to be joined.

    >>> [path.name for path in template(design).save(folder / "template.pdf")]
    ['template.pdf']
    >>> [path.name for path in template(design, paper="Letter").save(folder / "template.svg")]
    ['template-1.svg', 'template-2.svg']
    """
    return pages(design, "template", paper=paper, printer=printer)


@in_own_settings
def pages(design: Design, name: str, *, paper: str | None = None, printer: Printer | None = None) -> Printout:
    """The pages of one name, as an export prints them.

    Args:
        design: The knife with all that decides about it.
        name: Such as "book", "template" or "drill"; the message about a wrong name has all of them.
        paper: Such as "A4" or "Letter"; None takes the one of the design's settings, A4 where nobody set any.
        printer: Against whose error they are drawn; None takes the one of its settings, or draws for any.

    Raises:
        ParameterError: A value of another kind.
        UnknownNameError: No such page, or no such paper.
        ExportError: A page does not go on this paper, or the design has nothing to show on it.

    >>> len(pages(design, "drill").sheets)
    2
    >>> [path.name for path in pages(design, "drill").save(folder / "drill.pdf")]
    ['drill.pdf']
    """
    checked(f"{name}: design", design, Design)
    checked(f"{name}: paper", paper, str | None)
    chosen = paper_named(design.settings.paper if paper is None else paper)
    printer = design.settings.printer if printer is None else printer
    made = tuple(printed(design, (page_named(name),), ((chosen,),), printer))
    if not made:
        raise nothing_to_show(design, name)
    sheets = tuple(sheet for each_printed in made for sheet in each_printed.sheets)
    return Printout(sheets=sheets, date=design.date, chapters=made[0].chapters)

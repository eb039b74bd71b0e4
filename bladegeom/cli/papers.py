"""The papers of an export: what is printed, on which paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bladegeom.drawing.drawing import Sheet
from bladegeom.drawing.printer import Printer
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_date
from bladegeom.mass.weigh import weigh
from bladegeom.quantities.errors import ExportError
from bladegeom.quantities.tables import Paper, paper
from bladegeom.quantities.units import length
from bladegeom.sheets.balance_pages import balance_pages
from bladegeom.sheets.blade_sheet import blade_pages
from bladegeom.sheets.drill_sheet import drill_pages
from bladegeom.sheets.grind_pages import grind_pages
from bladegeom.sheets.handle_pages import handle_pages
from bladegeom.writers.files import file_stem
from bladegeom.writers.pdf import pdf_of_sheets
from bladegeom.writers.svg import svg_of_sheet

_PAPERS = (("A4", "A3"), ("Letter", "Tabloid"))
"""Each a paper that every printer takes, then a larger one for what does not fit on it."""


def paper_sets(names: list[str] | None) -> tuple[tuple[Paper, ...], ...]:
    """The papers to print on, each set with the preferred one first."""
    if names:
        return tuple((paper(name),) for name in names)
    return tuple(tuple(paper(name) for name in group) for group in _PAPERS)


def printer_of(text: str) -> Printer:
    """What two bars measured, across and along the page: '99.6 x 100.2'.

    Raises:
        ExportError: It is not two lengths with an x between them.
        ParameterError: A reading that no printer gives at 100 %.
    """
    across, x, along = text.lower().replace("\u00d7", "x").partition("x")
    if not x:
        raise ExportError(
            f"--printer {text!r}: tell what the two 100 mm bars measured, across and along the page, such as "
            "'99.6 x 100.2'"
        )
    return Printer(across=length(across), along=length(along))


def papers_of(
    knife: Knife,
    parameters: Mapping[str, object],
    sets: Sequence[Sequence[Paper]],
    remarks: Sequence[str],
    printer: Printer | None = None,
) -> dict[str, bytes]:
    """All papers, by file name; drawn for one printer where its readings are told."""
    if printer is not None:
        sets = [[printer.room(one) for one in papers] for papers in sets]
        remarks = (*remarks, printer.words)
    weighing, stem, date = weigh(knife), file_stem(knife.name, knife.revision), revision_date(knife)
    out: dict[str, bytes] = {}
    for papers in sets:
        for pages in blade_pages(knife, weighing, papers, parameters=parameters, remarks=remarks):
            name = f"{stem}_template_{pages.paper.name}"
            out[f"{name}.pdf"] = pdf_of_sheets(_for_printer(pages.sheets, printer), date=date)
            for flank, sheets in pages.faces.items():
                face = "" if flank == "right" else "_left"
                for i, sheet in enumerate(_for_printer(sheets, printer), start=1):
                    number = f"_{i}of{len(sheets)}" if len(sheets) > 1 else ""
                    out[f"{name}{face}{number}.svg"] = svg_of_sheet(sheet)
        for what, pages_of in (
            ("grind", grind_pages),
            ("handle", handle_pages),
            ("drill", drill_pages),
            ("balance", balance_pages),
        ):
            if sheets := pages_of(knife, papers, remarks=remarks):
                out[f"{stem}_{what}_{papers[0].name}.pdf"] = pdf_of_sheets(_for_printer(sheets, printer), date=date)
    return out


def _for_printer(sheets: Sequence[Sheet], printer: Printer | None) -> Sequence[Sheet]:
    return sheets if printer is None else [printer.corrected(sheet) for sheet in sheets]

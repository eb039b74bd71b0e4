"""The papers of an export: what is printed, on which paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bladegeom.body.knife import Knife
from bladegeom.draw.balance_pages import balance_pages
from bladegeom.draw.blade_sheet import blade_sheet
from bladegeom.draw.drill_sheet import drill_pages
from bladegeom.draw.grind_pages import grind_pages
from bladegeom.draw.handle_pages import handle_pages
from bladegeom.export.files import file_stem
from bladegeom.export.pdf import pdf_of_sheets
from bladegeom.export.svg import svg_of_sheet
from bladegeom.quantities.tables import Paper, paper
from bladegeom.reason.weigh import weigh

_PAPERS = (("A4", "A3"), ("Letter", "Tabloid"))
"""Each a paper that every printer takes, then a larger one for what does not fit on it."""


def paper_sets(names: list[str] | None) -> tuple[tuple[Paper, ...], ...]:
    """The papers to print on, each set with the preferred one first."""
    if names:
        return tuple((paper(name),) for name in names)
    return tuple(tuple(paper(name) for name in group) for group in _PAPERS)


def papers_of(
    knife: Knife, parameters: Mapping[str, object], sets: Sequence[Sequence[Paper]], remarks: Sequence[str]
) -> dict[str, bytes]:
    """All papers, by file name."""
    weighing, stem = weigh(knife), file_stem(knife.name, knife.revision)
    out: dict[str, bytes] = {}
    for papers in sets:
        chosen, sheet = blade_sheet(knife, weighing, papers, parameters=parameters, remarks=remarks)
        name = f"{stem}_template_{chosen.name}"
        out[f"{name}.svg"], out[f"{name}.pdf"] = svg_of_sheet(sheet), pdf_of_sheets([sheet])
        for what, pages_of in (
            ("grind", grind_pages),
            ("handle", handle_pages),
            ("drill", drill_pages),
            ("balance", balance_pages),
        ):
            if pages := pages_of(knife, papers, remarks=remarks):
                out[f"{stem}_{what}_{papers[0].name}.pdf"] = pdf_of_sheets(pages)
    return out

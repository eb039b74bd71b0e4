"""The command ``card``: everything that travels with one knife through the shop, as PDF and as HTML."""

from __future__ import annotations

import argparse
import dataclasses
from collections.abc import Sequence
from pathlib import Path

from bladegeom.cli.declared_work import route_of
from bladegeom.cli.order import findings_of, order_of
from bladegeom.cli.papers import paper_sets
from bladegeom.cli.remarks import remarks_of, require_known
from bladegeom.cli.script import load_design
from bladegeom.cli.tell import errors_of, tell
from bladegeom.drawing.printer import Printer
from bladegeom.knife.revision_id import revision_date
from bladegeom.quantities.tables import Paper
from bladegeom.sheets.card_pages import card_pages
from bladegeom.sheets.drill_sheet import drill_pages
from bladegeom.sheets.grind_pages import grind_pages
from bladegeom.signoff.job_card import card as make_card
from bladegeom.workshop.route import Route
from bladegeom.writers.card_page import card_page
from bladegeom.writers.files import file_stem, write_all
from bladegeom.writers.pdf import pdf_of_sheets


def card_files(
    work: Route,
    sets: Sequence[Sequence[Paper]],
    remarks: Sequence[str],
    printer: Printer | None = None,
) -> dict[str, bytes]:
    """The job card of a knife by file name: one PDF for each set of papers, drill card and grind sheet in it, and HTML.

    Args:
        work: The route of the knife, with the order if there is one.
        sets: Papers, the preferred one of each set first.
        remarks: For every page.
        printer: Whose error is drawn against.
    """
    knife = work.knife
    stem = file_stem(knife.name, knife.revision)
    if printer is not None:
        sets = [[printer.room(one) for one in papers] for papers in sets]
    screen = make_card(work, remarks)
    out = {f"{stem}_job_card.html": card_page(screen, knife)}
    printed = () if printer is None else (printer.words,)
    made = dataclasses.replace(screen, remarks=(*screen.remarks, *printed))
    for papers in sets:
        along = [page for of in (drill_pages, grind_pages) for page in of(knife, papers, remarks=made.remarks)]
        sheets = card_pages(made, knife, papers[0], along)
        corrected = sheets if printer is None else [printer.corrected(one) for one in sheets]
        out[f"{stem}_job_card_{papers[0].name}.pdf"] = pdf_of_sheets(corrected, date=revision_date(knife))
    return out


def card(options: argparse.Namespace) -> int:
    """Write the job card: 0 where no error stands but those allowed, else 1 and a card that says so on every page."""
    design = load_design(options.script)
    knife, _ = design.knife(options.overrides)
    with design.named():
        findings = findings_of(design, knife)
        require_known(options.allow, findings)
        work, remarks = route_of(design, knife, order_of(design)), remarks_of(findings, options.allow)
        contents = card_files(work, paper_sets(options.paper), remarks)
    errors = [finding for finding in errors_of(findings) if finding.code not in options.allow]
    script: Path = options.script
    folder = options.out or (script.with_suffix("") if script.suffix else script.with_name(f"{script.name}_card"))
    for path in write_all(folder, contents):
        tell(str(path))
    for finding in errors:
        tell(f"{finding.severity} [{finding.code}] {finding.message}")
    if errors:
        tell("the job card says NOT RELEASED on every page: mend the design or the order before anybody works by it")
    elif options.allow:
        tell(f"on every page: {remarks[0]}")
    return int(bool(errors))

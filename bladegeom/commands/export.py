"""The export of a design: papers, job card, cut files, proof and report, written together."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from bladegeom.commands.cut_files import checked_parts
from bladegeom.commands.job_card import job_card
from bladegeom.cutfile.dxf import Release
from bladegeom.design.design import Design
from bladegeom.design.own_settings import in_own_settings
from bladegeom.design.report import report
from bladegeom.design.report_settings import settings_report
from bladegeom.drawing.printer import Printer
from bladegeom.quantities.declared import checked
from bladegeom.sheets.printed import paper_sets
from bladegeom.sheets.register import PAPERS, printed
from bladegeom.writers.files import Files, file_stem
from bladegeom.writers.printout import files_of
from bladegeom.writers.proof import proof
from bladegeom.writers.report_json import as_json
from bladegeom.writers.report_text import as_text


@dataclass(frozen=True)
class Exported(Files):
    """The files of an export.

    Args:
        contents: By name.
        told: What was measured on the cut files when they were read back, and what a shop has to know.
        stem: How the name of each begins.
    """

    told: tuple[str, ...] = ()
    stem: str = ""

    def left_over(self, folder: Path) -> Iterator[Path]:
        """Files of the same knife from an earlier export, which say something else than these."""
        for path in sorted(folder.iterdir()):
            if path.name.startswith(f"{self.stem}_") and path.name not in self.contents:
                yield path


def export(
    design: Design,
    folder: str | Path,
    *,
    papers: Sequence[str] | None = None,
    printer: Printer | None = None,
    dxf: Release = "R2000",
) -> tuple[Path, ...]:
    """Write template, grind sheet, drill card, cut files, proof and report into a folder: all files, or none.

    Where an error stands that the maker does not allow, every page says NOT RELEASED and no cut file is written; ask
    ``design.released``. What was measured on the cut files is told by :func:`cut_files`.

    Args:
        design: The knife with all that decides about it.
        folder: Made if need be. Files of the same kind are replaced, and no others.
        papers: Names such as "A4", each with A3 or Tabloid for what does not fit; None takes the one of the design's
            settings, which is A4 where nobody set any.
        printer: Against whose error everything is drawn; None takes the one of its settings, or draws for any.
        dxf: Release of the cut files; "R12" is for old controllers and holds no units.

    Returns:
        The written paths.

    Raises:
        ParameterError: A value of another kind.
        ExportError: A page fits no paper, a cut file is not true to the design, or a file cannot be written.

    >>> import dataclasses
    >>> bare = Design(dataclasses.replace(knife, holes=(), fasteners=(), scales=None))
    >>> written = export(bare, folder, papers=("A4",))
    >>> sorted({path.suffix for path in written})
    ['.dxf', '.html', '.json', '.pdf', '.svg', '.txt']
    """
    return exported(design, papers=papers, printer=printer, dxf=dxf).save(folder)


@in_own_settings
def exported(
    design: Design,
    *,
    papers: Sequence[str] | None = None,
    printer: Printer | None = None,
    dxf: Release = "R2000",
) -> Exported:
    """The files of an export before they are written; see :func:`export`."""
    checked("export: design", design, Design)
    checked("export: dxf", dxf, Release)
    sets, stem = paper_sets(papers, design.settings.paper), file_stem(design.knife.name, design.knife.revision)
    contents: dict[str, bytes] = {}
    told: list[str] = []
    printer = design.settings.printer if printer is None else printer
    for made in printed(design, PAPERS, sets, printer):
        contents |= files_of(made, stem, design.date)
    if design.settles_work:
        contents |= job_card(design, papers=papers, printer=printer)
    if design.released:
        for part in checked_parts(design, dxf):
            contents |= part.files(sets)
            told += part.told
    contents |= _reports(design, stem, contents, settings_report(design, papers=papers, printer=printer))
    return Exported(contents, told=tuple(told), stem=stem)


def _reports(design: Design, stem: str, files: Mapping[str, bytes], settings: Mapping[str, object]) -> dict[str, bytes]:
    content = report(design) | {"settings": settings}
    page = {f"{stem}_proof.html": proof(design, content)}
    content["files"] = [
        {"path": name, "kind": name.rpartition(".")[2], "sha256": hashlib.sha256(data).hexdigest()}
        for name, data in (*files.items(), *page.items())
    ]
    return page | {f"{stem}_report.json": as_json(content).encode(), f"{stem}_report.txt": as_text(content).encode()}

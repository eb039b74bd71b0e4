"""The export of a design: bench book, cut files, proof and report, written together."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Any, Final

from bladegeom.book.page_kind import printed
from bladegeom.book.printed import paper_sets
from bladegeom.book.register import APART, BOOK, CHAPTERS, nothing_to_show
from bladegeom.commands.bench_book import card_name
from bladegeom.commands.cut_files import checked_parts
from bladegeom.commands.mark_files import made_files
from bladegeom.cutfile.dxf import Release
from bladegeom.design.design import Design
from bladegeom.design.own_settings import in_own_settings
from bladegeom.design.report import report
from bladegeom.design.report_settings import settings_report
from bladegeom.drawing.printer import Printer
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.field_rules import Items, Like
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.papers import Paper
from bladegeom.writers.card_page import card_page
from bladegeom.writers.files import Files, file_stem
from bladegeom.writers.printout import files_of
from bladegeom.writers.proof import proof
from bladegeom.writers.report_json import as_json
from bladegeom.writers.report_text import as_text

JOB_CARD, CUT, MARKS, PROOF, REPORT = "job_card", "cut", "marks", "proof", "report"

_PAGES: Final = (BOOK, *CHAPTERS, *APART)

NAMES: Final = (*(page.name for page in _PAGES), JOB_CARD, CUT, MARKS, PROOF, REPORT)
"""What can be asked for alone: the book and each chapter, the card for a screen, the cut files with their pass sheets,
the files of the marks, the proof, the report."""

_APART: Final = "agreement"
"""Pages that another command writes: no export makes them old, but another revision does."""

_MARKED: Final = (".svg", ".dxf", ".html")
"""Files in which a program can read the mark of the revision: a PDF holds it packed."""


@dataclass(frozen=True)
class Exported(Files):
    """The files of an export.

    Args:
        contents: By name.
        told: What was measured on the cut files when they were read back, and what a shop has to know.
        stem: How the name of each begins.
        mark: The revision and the checksum of the design, which stands on every page.
        asked: What was asked for alone; nothing where everything was.
        left_out: Pages that no book holds, by name, each with the words why.
    """

    told: tuple[str, ...] = ()
    stem: str = ""
    mark: str = ""
    asked: tuple[str, ...] = ()
    left_out: Mapping[str, str] = field(default_factory=dict)

    def left_over(self, folder: Path) -> Iterator[Path]:
        """Files of the same knife from an earlier export that were not written anew.

        What was not asked for is as good as it was, unless the mark of another revision stands in it.
        """
        for path in sorted(folder.iterdir()) if folder.is_dir() else ():
            if (
                path.name.startswith(f"{self.stem}_")
                and path.name not in self.contents
                and (self._is_asked(path) or _bears_other_mark(path, self.mark))
            ):
                yield path

    def _is_asked(self, path: Path) -> bool:
        if self.asked:
            kinds = {_kind(name, self.stem) for name in self.contents}
            return _kind(path.name, self.stem) in kinds.union(self.asked)
        return not path.name.startswith(f"{self.stem}_{_APART}")


def export(
    design: Design,
    folder: str | Path,
    *,
    papers: Sequence[str] | None = None,
    printer: Printer | None = None,
    dxf: Release = "R2000",
    only: Sequence[str] | None = None,
) -> tuple[Path, ...]:
    """Write bench book, templates, cut files, proof and report into a folder: all files, or none.

    Where an error stands that the maker does not allow, every page says NOT RELEASED and no cut file is written; ask
    ``design.released``. What was measured on the cut files is told by :func:`cut_files`. Single chapters and the pages
    of the balance are written where they are asked for, the card for a screen where an order or work is declared.

    Args:
        design: The knife with all that decides about it.
        folder: Made if need be. Files of the same kind are replaced, and no others.
        papers: Names such as "A4", each with A3 or Tabloid for what does not fit; None takes the one of the design's
            settings, which is A4 where nobody set any.
        printer: Against whose error everything is drawn; None takes the one of its settings, or draws for any.
        dxf: Release of the cut files; "R12" is for old controllers and holds no units.
        only: What alone is drawn and written: "book", its chapters by name, such as "template" or "drill", "balance",
            "job_card", "cut", "marks" with the files of the marks, "proof", "report".

    Returns:
        The written paths.

    Raises:
        ParameterError: A value of another kind.
        UnknownNameError: Nothing of that name can be asked for.
        ExportError: A page fits no paper, the design has nothing to show on a page that was asked for, a cut file is
            not true to the design, or a file cannot be written.

    >>> import dataclasses
    >>> bare = Design(dataclasses.replace(knife, holes=(), fasteners=(), scales=None))
    >>> written = export(bare, folder, papers=("A4",))
    >>> sorted({path.suffix for path in written})
    ['.dxf', '.html', '.json', '.pdf', '.svg', '.txt']
    >>> [path.name for path in export(bare, folder, papers=("A4",), only=("balance",))]
    ['rigging-knife_rev-A_balance_A4.pdf']
    """
    return exported(design, papers=papers, printer=printer, dxf=dxf, only=only).save(folder)


@in_own_settings
def exported(
    design: Design,
    *,
    papers: Sequence[str] | None = None,
    printer: Printer | None = None,
    dxf: Release = "R2000",
    only: Sequence[str] | None = None,
) -> Exported:
    """The files of an export before they are written; see :func:`export`."""
    checked("export: design", design, Design)
    checked("export: dxf", dxf, Release)
    asked = _asked(only)
    left_out = {} if asked else {page.name: why for page in APART if (why := page.apart(design))}
    wanted = asked or _usual(design)
    sets, stem = paper_sets(papers, design.settings.paper), file_stem(design.knife.name, design.knife.revision)
    printer = design.settings.printer if printer is None else printer
    contents, told = dict[str, bytes](), list[str]()
    for made in printed(design, [page for page in _PAGES if page.name in wanted], sets, printer):
        contents |= files_of(made, stem, design.date)
    _require_shown(design, asked, {_kind(name, stem) for name in contents})
    if JOB_CARD in wanted:
        contents[card_name(stem)] = card_page(design.job_card, design.knife)
    if design.released:
        for files, lines in _for_machines(design, dxf, sets, wanted):
            contents |= files
            told += lines
        if MARKS in asked and not any(_kind(name, stem) == MARKS for name in contents):
            raise ExportError(
                f'{design.knife.name} has no mark with files; say how one is made, such as MarkZone(..., made="laser")'
            )
    if PROOF in wanted or REPORT in wanted:
        content = report(design) | {"settings": settings_report(design, papers=papers, printer=printer)}
        contents |= _reports(design, stem, content, contents, wanted)
    return Exported(contents, told=tuple(told), stem=stem, mark=design.revision_id, asked=asked, left_out=left_out)


def _for_machines(
    design: Design, dxf: Release, sets: Sequence[Sequence[Paper]], wanted: Collection[str]
) -> Iterator[tuple[dict[str, bytes], Sequence[str]]]:
    """Files that a cutter or a laser reads, each with what was measured on it."""
    if CUT in wanted:
        yield from ((part.files(sets), part.told) for part in checked_parts(design, dxf))
    if MARKS in wanted:
        yield from ((mark.contents, (mark.told,)) for mark in made_files(design, dxf))


def _asked(only: Sequence[str] | None) -> tuple[str, ...]:
    """What is asked for alone, by names that there are."""
    if only is None:
        return ()
    names = checked(
        "export: only", only, Annotated[tuple[str, ...], Items(least=1), Like('("balance",), with its comma')]
    )
    for name in names:
        if name not in NAMES:
            raise UnknownNameError("part of an export", name, NAMES)
    return tuple(names)


def _require_shown(design: Design, asked: Collection[str], shown: Collection[str]) -> None:
    """That every page that is asked for alone shows something."""
    for page in _PAGES:
        if page.name in asked and page.name not in shown:
            raise nothing_to_show(design, page.name)


def _usual(design: Design) -> tuple[str, ...]:
    """What is written where nothing is asked for alone."""
    return (BOOK.name, *((JOB_CARD,) if design.settles_work else ()), CUT, MARKS, PROOF, REPORT)


def _reports(
    design: Design, stem: str, content: dict[str, Any], files: Mapping[str, bytes], wanted: Collection[str]
) -> dict[str, bytes]:
    """Proof and report, those that are wanted."""
    page = {f"{stem}_proof.html": proof(design, content)} if PROOF in wanted else {}
    if REPORT not in wanted:
        return page
    content["files"] = [
        {"path": name, "kind": name.rpartition(".")[2], "sha256": hashlib.sha256(data).hexdigest()}
        for name, data in (*files.items(), *page.items())
    ]
    return page | {f"{stem}_report.json": as_json(content).encode(), f"{stem}_report.txt": as_text(content).encode()}


def _kind(name: str, stem: str) -> str:
    """What a file of an export is, as it is asked for; nothing of a file that is none."""
    behind = name.removeprefix(f"{stem}_")
    return next((kind for kind in NAMES if behind.startswith((f"{kind}_", f"{kind}."))), "")


def _bears_other_mark(path: Path, mark: str) -> bool:
    """Whether a file says that it is of another revision, or of another state of this one."""
    if path.suffix not in _MARKED or not path.is_file():
        return False
    revision = mark.rpartition("-")[0].encode()
    marks = re.findall(re.escape(revision) + rb"-[0-9a-f]{8}\b", path.read_bytes())
    return bool(marks) and mark.encode() not in marks

"""Preflight of a cut file, ours or anybody's: what is in it, what is wrong with it, what size a shop saw."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from bladegeom.book.pass_sheet import pass_sheet
from bladegeom.book.printed import paper_choice
from bladegeom.cutfile.cut import cut_parts
from bladegeom.cutfile.verify_cut_file import CutFileCheck, Meant, verify_cut_file
from bladegeom.design.design import Design
from bladegeom.importers.cut_lines import read_cut_plan
from bladegeom.importers.cut_plan import CutPlan
from bladegeom.importers.dxf_file import MOST_BYTES
from bladegeom.knife.revision_id import revision_date
from bladegeom.knife.rules import Process
from bladegeom.quantities.declared import checked
from bladegeom.quantities.field_rules import Length
from bladegeom.quantities.paths import path_of
from bladegeom.quantities.text_file import bounded_bytes
from bladegeom.settings.settings import settings_in_force
from bladegeom.writers.printout import Printout


def preflight(
    file: str | Path,
    *,
    design: Design | None = None,
    process: str | Process | None = None,
    thickness: float | None = None,
    unit: Literal["mm", "inch"] | None = None,
) -> CutFileCheck:
    """Read a cut file and list what is in it and what is wrong with it.

    Args:
        file: A DXF, ours or anybody's.
        design: Compared with what it would cut: the part that the file is nearest to. None compares with nothing.
        process: Whose limits count: "waterjet", "laser" or "wire EDM", or one of one's own; None takes the design's,
            else that of the settings in force, which is waterjet where nobody set any.
        thickness: Of the stock, mm; None takes the design's, and without one tests nothing that asks for it.
        unit: Of a file that names none; until it is told that is an error.

    Returns:
        What was found; ``.findings`` lists what is wrong, errors first.

    Raises:
        ParameterError: A value of another kind.
        UnknownNameError: No such process.
        UnreadableFileError: It cannot be read, is no DXF, or is too large.

    >>> from bladegeom import cut_files
    >>> (path,) = cut_files(design)["steel"].save(folder / "part.dxf")
    >>> found = preflight(path, design=design)
    >>> len(found.findings), found.off.greatest < 0.011
    (0, True)
    """
    checked("preflight: design", design, Design | None)
    checked("preflight: process", process, str | Process | None)
    checked("preflight: thickness", thickness, Length | None)
    checked("preflight: unit", unit, Literal["mm", "inch"] | None)
    path = path_of("preflight", file)
    plan = read_cut_plan(bounded_bytes(path, most_bytes=MOST_BYTES, advice="send one part alone"), path.name, unit=unit)
    if design is None:
        return verify_cut_file(plan, _process(process, settings_in_force().shop.process), thickness or 0.0)
    return _nearest(plan, _process(process, design.knife.shop.process), thickness, design)


def preflight_sheet(check: CutFileCheck, *, papers: Sequence[str] | None = None) -> Printout:
    """The pass sheet, to attach to the order: what was measured and exactly what was tested.

    A file with errors has its findings there: it is not to be sent.

    Args:
        check: What preflight found.
        papers: Of which the first is taken; None takes the one of the settings in force, A4 where there are none.

    Raises:
        ParameterError: Something else than what preflight hands back.
        ExportError: Its name and its remarks leave no room.

    >>> from bladegeom import cut_files
    >>> (path,) = cut_files(design)["steel"].save(folder / "part.dxf")
    >>> [sheet.name for sheet in preflight_sheet(preflight(path, design=design)).save(folder / "pass.pdf")]
    ['pass.pdf']
    """
    checked("preflight sheet: check", check, CutFileCheck)
    sheets = pass_sheet(check, paper_choice(papers, settings_in_force().paper)[0])
    return Printout(sheets=sheets, date=revision_date(check.meant.knife) if check.meant else None)


def _process(named: str | Process | None, own: Process) -> Process:
    return own if named is None else Process.named(named) if isinstance(named, str) else named


def _nearest(plan: CutPlan, process: Process, told: float | None, design: Design) -> CutFileCheck:
    """The file beside that part of a design which it is nearest to: by its holes, then by its lines."""
    looked = []
    for part in cut_parts(design.knife):
        thickness = part.thickness if told is None else told
        looked.append(verify_cut_file(plan, process, thickness, Meant(knife=design.knife, part=part)))
    return min(looked, key=_differs)


def _differs(looked: CutFileCheck) -> tuple[int, float]:
    off = looked.off
    return (len(off.missing) + len(off.extra), off.greatest) if off else (0, 0.0)

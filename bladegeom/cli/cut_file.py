"""The cut files of an export, and what was measured on them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.cli.look_again import Looked, Meant, look_again
from bladegeom.cli.tell import errors_of
from bladegeom.cutfile.cut import CutPart, cut_parts
from bladegeom.cutfile.cut_words import choices, comment, file_words, nominal, what
from bladegeom.cutfile.dxf import CutFile, Release, dxf_of_drawing
from bladegeom.importers.cut_lines import read_cut_plan
from bladegeom.knife.knife import Knife
from bladegeom.quantities.errors import ExportError
from bladegeom.quantities.tables import Paper
from bladegeom.quantities.units import show_size
from bladegeom.writers.files import file_stem


def cut_files(
    knife: Knife, sets: Sequence[Sequence[Paper]], release: Release = "R2000", *, overridden: Sequence[str] = ()
) -> tuple[dict[str, bytes], list[str]]:
    """One file for each part with its pass sheets, by name, and what was measured on each when read back.

    Args:
        knife: The design.
        sets: Papers for the pass sheets, each set with the preferred one first.
        release: Of the DXF.
        overridden: What every sheet says of errors that the maker overrode; the file may then show them too.

    Raises:
        ExportError: A file is not true to the design, or does not pass though the design has no error.
    """
    files: dict[str, bytes] = {}
    told: list[str] = []
    for part in cut_parts(knife):
        lines = comment(knife, part, has_units=release != "R12")
        data, measured = dxf_of_drawing(part.drawing, release=release, off=part.off, comment=lines)
        mark = "" if release == "R2000" else f"_{release}"
        stem = f"{file_stem(knife.name, knife.revision)}_{file_words(knife, part)}{mark}"
        files[f"{stem}.dxf"] = data
        looked = _looked(knife, part, f"{stem}.dxf", data)
        if not overridden:
            _require_passed(looked)
        for papers in sets:
            chosen, pdf = looked.sheet(papers, remarks=overridden)
            files[f"{stem}_pass_{chosen.name}.pdf"] = pdf
        told += (*_told(knife, part, measured, release), *_warned(part, looked))
    return files, told


def _looked(knife: Knife, part: CutPart, name: str, data: bytes) -> Looked:
    # R12 holds no unit; ours is told in its name and its comment.
    plan = read_cut_plan(data, name, unit="mm")
    return look_again(plan, knife.shop.process, part.thickness, Meant(knife=knife, part=part))


def _require_passed(looked: Looked) -> None:
    if errors := errors_of(looked.found.findings):
        told = "; ".join(f"[{one.code}] {one.message}" for one in errors)
        raise ExportError(f"{looked.found.plan.name} does not pass preflight and is not handed out: {told}")


def _warned(part: CutPart, looked: Looked) -> Iterator[str]:
    for one in looked.found.findings:
        if one.severity != "note":
            yield f"{part.part}: {one.severity} [{one.code}] {one.message}"


def _told(knife: Knife, part: CutPart, measured: CutFile, release: Release) -> Iterator[str]:
    pieces = measured.open_lines
    open_lines = f"1 outline in {_counted(pieces, 'piece')} between tabs" if pieces else ""
    loops = _counted(measured.loops, "closed outline") if measured.loops else ""
    yield (
        f"cut file of the {part.part} read back: {' and '.join(filter(None, (loops, open_lines)))} of "
        f"{measured.segments} lines and arcs, {_counted(measured.circles, 'circle')}, "
        f"{show_size(measured.width, measured.height)}, {measured.deviation:.4f} mm off the design at most; "
        f"mm, {nominal(knife, part)}, no kerf"
    )
    yield f"{part.part}: {what(part)}"
    if release == "R12":
        yield f"{part.part}: R12 holds no unit, tell the shop that 1 unit is 1 mm; its name and comment say so too"
    yield from (f"{part.part}: {line}" for line in choices(knife, part))


def _counted(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"

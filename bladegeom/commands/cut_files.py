"""The cut files of a design: a DXF for each part, read back, passed, and what was measured on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from bladegeom.book.pass_sheet import pass_sheet
from bladegeom.book.printed import paper_choice
from bladegeom.cutfile.cut import CutPart, PartName, cut_parts
from bladegeom.cutfile.cut_words import choices, comment, file_words, nominal, what
from bladegeom.cutfile.dxf import CutFile, Release, dxf_of_drawing
from bladegeom.cutfile.verify_cut_file import CutFileCheck, Meant, verify_cut_file
from bladegeom.design.design import Design
from bladegeom.design.own_settings import in_own_settings
from bladegeom.design.release import errors_of, require_released
from bladegeom.importers.cut_lines import read_cut_plan
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.paths import path_of
from bladegeom.quantities.units import show_size
from bladegeom.writers.files import file_stem, require_ending, write_all
from bladegeom.writers.printout import Printout


@dataclass(frozen=True, kw_only=True)
class CheckedCutFile:
    """The cut file of one part, which was read back and passed preflight.

    Args:
        design: What it cuts.
        part: Of the design.
        name: Of the file, with its size in mm and in inches.
        data: The DXF.
        measured: What stands in it, as read back.
        check: What preflight finds in it, beside the design.
        release: Of the DXF.

    >>> from bladegeom import cut_files
    >>> part = cut_files(design)["steel"]
    >>> part.measured.loops, part.measured.circles
    (1, 6)
    >>> part.told[-1]
    'steel: not in the cut file, left for the drill: F1, F2'
    >>> [path.name for path in part.pass_sheet().save(folder / "pass.pdf")]
    ['pass.pdf']
    """

    design: Design
    part: CutPart
    name: str
    data: bytes
    measured: CutFile
    check: CutFileCheck
    release: Release

    @property
    def told(self) -> tuple[str, ...]:
        """What was measured, what was chosen, and what a shop has to know."""
        return (*_told(self), *_warned(self))

    def pass_sheet(self, papers: Sequence[str] | None = None) -> Printout:
        """A page to attach to the order: what was measured and exactly what was tested.

        Args:
            papers: Of which the first is taken; None takes the one of the design's settings, A4 where nobody set any.

        Raises:
            ExportError: Its name and its remarks leave no room.
        """
        settings = self.design.settings
        with settings.in_force():
            return self._on(paper_choice(papers, settings.paper)[0])

    def _on(self, paper: Paper) -> Printout:
        return Printout(sheets=pass_sheet(self.check, paper, remarks=self.design.remarks), date=self.design.date)

    def save(self, path: str | Path) -> tuple[Path, ...]:
        """Write the DXF.

        Args:
            path: Ends with .dxf.

        Returns:
            What was written.

        Raises:
            ExportError: The name ends otherwise, something else stands in its place, or it cannot be written.
        """
        path = path_of("save", path)
        require_ending("save", path, ".dxf")
        return write_all(path.parent, {path.name: self.data})

    def files(self, sets: Sequence[Sequence[Paper]]) -> dict[str, bytes]:
        """The DXF and its pass sheet on each set of papers, by name."""
        out = {self.name: self.data}
        for papers in sets:
            out[f"{self.name.removesuffix('.dxf')}_pass_{papers[0].name}.pdf"] = self._on(papers[0]).pdf
        return out


class CutFiles(dict[PartName, CheckedCutFile]):
    """Cut files by part; one that there is none of is told with those that there are.

    >>> from bladegeom import UnknownNameError, cut_files
    >>> try:
    ...     cut_files(design)["scale"]
    ... except UnknownNameError as error:
    ...     print(error)
    ...
    no cut file of this design is called 'scale'; there are: steel
    """

    def __missing__(self, part: str) -> CheckedCutFile:
        """Refuse a part.

        Raises:
            UnknownNameError: Always: without liners there is none of them, nor of scales that nobody asked for.
        """
        raise UnknownNameError("cut file of this design", part, self, near=())


@in_own_settings
def cut_files(design: Design, *, dxf: Release = "R2000") -> CutFiles:
    """What a cutting shop cuts of each part: the steel, the liner if there are any, the scale if it is asked for.

    Args:
        design: The knife with all that decides about it.
        dxf: Release of the files; "R12" is for old controllers and holds no units.

    Returns:
        By part; ``cut_files(design)["steel"].save("part.dxf")`` writes one. A part that is not cut is an
        :class:`UnknownNameError`.

    Raises:
        ParameterError: A value of another kind.
        NotReleasedError: An error stands that the maker does not allow.
        ExportError: A file is not true to the design, or does not pass though the design has no error.

    >>> part = cut_files(design)["steel"]
    >>> part.name
    'rigging-knife_rev-A_cut_steel_228.0x31.1mm_8.98x1.22in.dxf'
    >>> [path.name for path in part.save(folder / "part.dxf")]
    ['part.dxf']
    >>> round(part.measured.width, 2), round(part.measured.height, 2)
    (228.0, 31.06)
    """
    checked("cut_files: design", design, Design)
    checked("cut_files: dxf", dxf, Release)
    require_released(design.standing)
    return CutFiles({file.part.part: file for file in checked_parts(design, dxf)})


def checked_parts(design: Design, release: Release) -> Iterator[CheckedCutFile]:
    """The cut file of each part of a design whose errors are all allowed, which the files may show too."""
    knife = design.knife
    for part in cut_parts(knife):
        lines = comment(knife, part, has_units=release != "R12")
        data, measured = dxf_of_drawing(part.drawing, release=release, off=part.off, comment=lines)
        mark = "" if release == "R2000" else f"_{release}"
        name = f"{file_stem(knife.name, knife.revision)}_{file_words(knife, part)}{mark}.dxf"
        # R12 holds no unit; ours is told in its name and its comment.
        plan = read_cut_plan(data, name, unit="mm")
        looked = verify_cut_file(plan, knife.shop.process, part.thickness, Meant(knife=knife, part=part))
        if not design.errors:
            _require_passed(looked)
        yield CheckedCutFile(
            design=design, part=part, name=name, data=data, measured=measured, check=looked, release=release
        )


def _require_passed(looked: CutFileCheck) -> None:
    if errors := errors_of(looked.findings):
        told = "; ".join(f"[{error.code}] {error.message}" for error in errors)
        raise ExportError(f"{looked.found.plan.name} does not pass preflight and is not handed out: {told}")


def _warned(file: CheckedCutFile) -> Iterator[str]:
    for finding in file.check.findings:
        if finding.severity != "note":
            yield f"{file.part.part}: {finding.severity} [{finding.code}] {finding.message}"


def _told(file: CheckedCutFile) -> Iterator[str]:
    knife, part, measured = file.design.knife, file.part, file.measured
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
    if file.release == "R12":
        yield f"{part.part}: R12 holds no unit, tell the shop that 1 unit is 1 mm; its name and comment say so too"
    yield from (f"{part.part}: {line}" for line in choices(knife, part))


def _counted(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"

"""The files of a knife's marks at true size: as each reads on its face, and mirrored, as DXF and SVG."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from bladegeom.cutfile.dxf import Release, dxf_of_drawing
from bladegeom.design.design import Design
from bladegeom.design.own_settings import in_own_settings
from bladegeom.design.release import require_released
from bladegeom.knife.zone import MarkZone
from bladegeom.marking.mark_numbers import MarkNumbers, mark_numbers
from bladegeom.quantities.declared import checked
from bladegeom.quantities.tolerances import MARK_FIT
from bladegeom.quantities.units import show_fine, show_size
from bladegeom.sheets.mark_drawing import mark_drawing
from bladegeom.writers.files import file_stem, write_all
from bladegeom.writers.mark_svg import mark_svg

_FACINGS = ("true", "mirrored")
"""As one reads it on the steel; and as its film shows it from behind, on the face that lies on the steel."""


@dataclass(frozen=True, kw_only=True)
class MarkFiles:
    """The files of one mark.

    Args:
        zone: The mark.
        measured: On it, at true size.
        contents: DXF and SVG, true and mirrored, by name.

    >>> import dataclasses
    >>> from bladegeom import MarkZone
    >>> mark = MarkZone(x=19.5, y=-6.0, width=9.0, height=4.0, text="DECK 1", made="laser")
    >>> (files,) = mark_files(Design(dataclasses.replace(knife, zones=(mark,))))
    >>> sorted(files.contents)[0]
    'rigging-knife_rev-A_marks_1_right_mirrored.dxf'
    >>> len(files.save(folder))
    4
    """

    zone: MarkZone
    measured: MarkNumbers
    contents: dict[str, bytes]

    @property
    def told(self) -> str:
        """What was measured."""
        zone, found = self.zone, self.measured
        gap = "" if found.gap is None else f", narrowest gap {show_fine(found.gap)}"
        deep = f", {show_fine(zone.depth)} deep" if zone.depth else ""
        return (
            f"mark {zone.text!r} on the {zone.side} face, {zone.made}{deep}: "
            f"field {show_size(zone.width, zone.height)}, thinnest line {show_fine(found.line)}{gap}; "
            "DXF and SVG at 1:1, true and mirrored"
        )

    def save(self, folder: str | Path) -> tuple[Path, ...]:
        """Write all four.

        Args:
            folder: Made if need be.

        Raises:
            ExportError: One cannot be written, or something else stands in its place.
        """
        return write_all(Path(folder), self.contents)


@in_own_settings
def mark_files(design: Design, *, dxf: Release = "R2000") -> tuple[MarkFiles, ...]:
    """The files of each mark of which it is told how it is made, in the order declared.

    Args:
        design: The knife with all that decides about it.
        dxf: Release of the DXF; "R12" is for old controllers and holds no units.

    Raises:
        ParameterError: A value of another kind.
        NotReleasedError: An error stands that the maker does not allow.
        ExportError: A file is not true to the design.

    >>> import dataclasses
    >>> from bladegeom import MarkZone
    >>> mark = MarkZone(x=19.5, y=-6.0, width=9.0, height=4.0, text="DECK 1", made="laser", bold=True)
    >>> (files,) = mark_files(Design(dataclasses.replace(knife, zones=(mark,))))
    >>> files.measured.line > 0.06
    True
    """
    checked("mark_files: design", design, Design)
    checked("mark_files: dxf", dxf, Release)
    require_released(design.standing)
    return tuple(made_files(design, dxf))


def made_files(design: Design, release: Release) -> Iterator[MarkFiles]:
    """The same of a design whose errors are all allowed."""
    knife = design.knife
    stem = file_stem(knife.name, knife.revision)
    marks = [zone for zone in knife.zones if isinstance(zone, MarkZone) and zone.made is not None]
    for i, zone in enumerate(marks, start=1):
        contents: dict[str, bytes] = {}
        for facing in _FACINGS:
            drawing = mark_drawing(zone, mirrored=facing == "mirrored")
            told = f"{design.revision_id}, {drawing.name}, {zone.side} face, {zone.made}, {facing}, in mm at 1:1"
            name = f"{stem}_marks_{i}_{zone.side}_{facing}"
            contents[f"{name}.dxf"], _ = dxf_of_drawing(drawing, release=release, comment=(told,), within=MARK_FIT)
            contents[f"{name}.svg"] = mark_svg(drawing, width=zone.width, height=zone.height, told=told)
        yield MarkFiles(zone=zone, measured=mark_numbers(zone), contents=contents)

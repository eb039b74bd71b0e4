"""The cut files of a nest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from bladegeom.commands.nest import require_one_for_each
from bladegeom.cutfile.dxf import CutFile, dxf_of_drawing
from bladegeom.design.design import Design
from bladegeom.design.release import require_released
from bladegeom.nesting.nest import Nest
from bladegeom.quantities.paths import path_of
from bladegeom.quantities.tolerances import GROWN_FIT
from bladegeom.sheets.nest_drawing import nest_drawing
from bladegeom.writers.files import require_ending, write_all


@dataclass(frozen=True, kw_only=True)
class NestCutFile:
    """The cut file of one bar or sheet with its blanks.

    Args:
        data: The DXF.
        measured: What stands in it, as read back.

    >>> from bladegeom import StockPiece, blank_of, nest, nest_cut_files
    >>> done = nest([blank_of(knife)], StockPiece(length=300.0, width=50.0))
    >>> [path.name for path in nest_cut_files(done, [design])[0].save(folder / "nest.dxf")]
    ['nest.dxf']
    """

    data: bytes
    measured: CutFile

    def save(self, path: str | Path) -> tuple[Path, ...]:
        """Write it.

        Args:
            path: Ends with .dxf.

        Raises:
            ExportError: The name ends otherwise, something else stands in its place, or it cannot be written.
        """
        path = path_of("save", path)
        require_ending("save", path, ".dxf")
        return write_all(path.parent, {path.name: self.data})


def nest_cut_files(nest: Nest, designs: Sequence[Design]) -> tuple[NestCutFile, ...]:
    """A cut file for each bar or sheet, read back.

    Args:
        nest: Of the designs' blanks.
        designs: In the order of the blanks.

    Raises:
        ParameterError: A value of another kind.
        NotReleasedError: A design has an error that the maker does not allow.
        ExportError: A file is not true to the designs.

    >>> from bladegeom import StockPiece, blank_of, nest
    >>> done = nest([blank_of(knife)], StockPiece(length=300.0, width=50.0))
    >>> (file,) = nest_cut_files(done, [design])
    >>> file.measured.circles
    6
    """
    require_one_for_each(nest, designs)
    require_released([finding for design in designs for finding in design.standing])
    knives = [design.knife for design in designs]
    # The curves of a grown outline are off by a part of what the file may be.
    off = GROWN_FIT if any(knife.cutting.allowance for knife in knives) else 0.0
    made = (dxf_of_drawing(nest_drawing(piece, knives), off=off) for piece in nest.pieces)
    return tuple(NestCutFile(data=data, measured=measured) for data, measured in made)

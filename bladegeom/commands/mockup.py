"""A mock-up of a design, to print and to hold before steel is cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from bladegeom.design.design import Design
from bladegeom.design.own_settings import in_own_settings
from bladegeom.mass.unweighed import unweighed
from bladegeom.mockups.ballast import Balance, Ballast
from bladegeom.mockups.dowels import Dowel
from bladegeom.mockups.mockup_words import Facts, mockup_words
from bladegeom.mockups.pieces import Carved, Only, PrintPiece, carved
from bladegeom.mockups.printing import Printing
from bladegeom.quantities.declared import checked
from bladegeom.quantities.paths import path_of
from bladegeom.writers.files import file_slug, file_stem, write_all
from bladegeom.writers.solid_body import SolidBody
from bladegeom.writers.stl import stl
from bladegeom.writers.three_mf import three_mf

PRINT_FORMATS: Final = ("3mf", "stl")


@dataclass(frozen=True, kw_only=True)
class Mockup:
    """Pieces to print, and how what they make differs from the knife in the hand.

    Args:
        design: What it stands for.
        printing: How it is printed.
        only: The whole knife, or its handle alone.
        halves: Whether it is split along the middle plane.
        carved: The pieces, and what they were planned by.

    >>> from bladegeom import Printing, mockup
    >>> made = mockup(design, printing=Printing(fill=0.3))
    >>> [piece.name for piece in made.pieces]
    ['right half', 'left half', 'dowel 1', 'dowel 2']
    >>> round(made.loaded.x, 1) == round(made.wanted.x, 1)
    True
    """

    design: Design
    printing: Printing
    only: Only
    halves: bool
    carved: Carved

    @property
    def pieces(self) -> tuple[PrintPiece, ...]:
        """What is printed, dowels last."""
        return self.carved.pieces

    @property
    def dowels(self) -> tuple[Dowel, ...]:
        """Where dowels go."""
        return self.carved.plan.dowels

    @property
    def ballast(self) -> Ballast | None:
        """The bar that makes it balance as the knife does; None where there is none or none has room."""
        return self.carved.plan.ballast

    @property
    def plastic(self) -> Balance:
        """Of all pieces, glued, without a bar: walls of plastic alone, and a share of what lies between them."""
        return self.carved.plastic

    @property
    def loaded(self) -> Balance:
        """With the bar, where there is one."""
        return self.plastic if self.ballast is None else self.plastic.with_more(self.ballast.mass, self.ballast.x)

    @property
    def wanted(self) -> Balance:
        """Of the finished knife."""
        return _balance(self.design)

    @property
    def told(self) -> tuple[str, ...]:
        """What stands in the files, how it differs from the knife, how to print it, and cautions."""
        knife, printing = self.design.knife, self.printing
        facts = Facts(
            title=self.design.title,
            plastic=self.plastic,
            loaded=self.loaded,
            wanted=self.wanted,
            shortened=knife.outline.bounds[2] - max(float(piece.mesh.vertices[:, 0].max()) for piece in self.pieces),
            carved=self.carved,
            lacks=unweighed(knife),
        )
        with self.design.settings.in_force():
            return tuple(mockup_words(facts, printing, only=self.only, halves=self.halves))

    def files(self, formats: Sequence[str] = PRINT_FORMATS) -> dict[str, bytes]:
        """Contents by the names of files: a 3MF for each bed, an STL for each piece.

        Args:
            formats: "3mf", "stl", or both.
        """
        knife = self.design.knife
        stem = f"{file_stem(knife.name, knife.revision)}_{'mockup' if self.only == 'knife' else 'handle_mockup'}"
        out: dict[str, bytes] = {}
        if "3mf" in formats:
            out |= self._beds(stem)
        if "stl" in formats:
            for piece in self.pieces:
                title = f"{piece.name}, mock-up of {self.design.title}"
                out[f"{stem}_{file_slug(piece.name)}.stl"] = stl(piece.laid, title=title)
        return out

    def save(self, folder: str | Path, formats: Sequence[str] = PRINT_FORMATS) -> tuple[Path, ...]:
        """Write them into a folder, which is made if need be: all of them, or none.

        Args:
            folder: For the files.
            formats: "3mf", "stl", or both.

        Returns:
            What was written.

        Raises:
            ExportError: The folder or a file cannot be written, or something else stands in a file's place.
        """
        return write_all(path_of("save", folder), self.files(formats))

    def _beds(self, stem: str) -> dict[str, bytes]:
        made_of, last = self.printing.made_of, max(piece.bed for piece in self.pieces)
        out = {}
        for bed in range(1, last + 1):
            bodies = [
                SolidBody(name=piece.name, mesh=piece.laid, material=made_of)
                for piece in self.pieces
                if piece.bed == bed
            ]
            told = f"mock-up, bed {bed} of {last}; mm; blunt: to hold, not to cut"
            name = f"{stem}_bed-{bed}.3mf" if last > 1 else f"{stem}.3mf"
            out[name] = three_mf(bodies, title=self.design.title, description=told)
        return out


@in_own_settings
def mockup(design: Design, *, only: Only = "knife", halves: bool = True, printing: Printing | None = None) -> Mockup:
    """A body of a design's shape to print and to hold: blunt, in halves with dowels, balanced by a bar where one fits.

    Args:
        design: The knife with all that decides about it.
        only: "knife", or its "handle" alone.
        halves: Split along the middle plane, each half to lie on its split face; else in one.
        printing: Bed, least thickness, plastic, dowels, ballast; None takes the defaults.

    Returns:
        The pieces; ``mockup(design).save("prints")`` writes them.

    Raises:
        ParameterError: A value of another kind; the steel is thinner than what is printed; or the bed is too small.

    >>> from bladegeom import Printing
    >>> made = mockup(design, only="handle", printing=Printing(bed="small"))
    >>> [path.suffix for path in made.save(folder)][:2]
    ['.3mf', '.stl']
    """
    checked("mockup: design", design, Design)
    checked("mockup: only", only, Only)
    checked("mockup: halves", halves, bool)
    checked("mockup: printing", printing, Printing | None)
    chosen = Printing() if printing is None else printing
    known = only == "knife" and not unweighed(design.knife)
    pieces = carved(design.knife, chosen, only=only, halves=halves, balance=_balance(design) if known else None)
    return Mockup(design=design, printing=chosen, only=only, halves=halves, carved=pieces)


def _balance(design: Design) -> Balance:
    total = design.weighing.total
    return Balance(total.amount, float(total.centre[0]))

"""A nest of designs as a sheet to saw by."""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.book.nest_pages import nest_pages
from bladegeom.book.printed import paper_choice
from bladegeom.design.design import Design
from bladegeom.design.release import remarks_of
from bladegeom.nesting.nest import Nest
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import ParameterError
from bladegeom.settings.settings import settings_in_force
from bladegeom.writers.printout import Printout


def nest_sheet(nest: Nest, designs: Sequence[Design], *, papers: Sequence[str] | None = None) -> Printout:
    """Pages to saw by for each bar or sheet, scaled, with its off-cut.

    Args:
        nest: Of the designs' blanks.
        designs: In the order of the blanks.
        papers: Of which the first is taken; None takes the one of the settings in force, A4 where there are none.

    Raises:
        ParameterError: A value of another kind.
        ExportError: What every page must say leaves no room.

    >>> from bladegeom import StockPiece, blank_of, nest
    >>> done = nest([blank_of(knife)], StockPiece(length=300.0, width=50.0))
    >>> len(nest_sheet(done, [design]).sheets)
    1
    """
    require_one_for_each(nest, designs)
    knives = [design.knife for design in designs]
    paper = paper_choice(papers, settings_in_force().paper)[0]
    return Printout(sheets=nest_pages(nest, knives, paper, remarks=_remarks(designs)))


def _remarks(designs: Sequence[Design]) -> tuple[str, ...]:
    """What the page says of all designs together: a code is allowed where no design has it standing."""
    standing = {finding.code for design in designs for finding in design.standing}
    allowed = [code for design in designs for code in design.allowed if code not in standing]
    return remarks_of([finding for design in designs for finding in design.findings], allowed)


def require_one_for_each(nest: Nest, designs: Sequence[Design]) -> None:
    """Refuse designs that are not those of the blanks.

    Raises:
        ParameterError: A value of another kind, or more or fewer designs than blanks.
    """
    checked("nest sheet: nest", nest, Nest)
    checked("nest sheet: designs", designs, tuple[Design, ...])
    if len(designs) != len(nest.blanks):
        must = f"be one for each of the {len(nest.blanks)} blanks, in their order"
        raise ParameterError("nest sheet: designs", len(designs), must)

"""One printer's own error, and pages that are drawn so that they come out of it true."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from bladegeom.drawing.drawing import Sheet
from bladegeom.drawing.ruler import MARGIN
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.units import length

_BAR = 100.0
"""The bar that was measured, mm."""

_LIMITS = (90.0, 110.0)
"""What a bar of 100 mm may measure, mm: beyond it the page was fitted to the paper, or another bar was read; own
choice."""


@dataclass(frozen=True, kw_only=True)
class Printer:
    """What the bars of 100 mm measured on a page as it came out of a printer at 100 %, mm.

    Args:
        across: The bar that runs along the short side of the paper.
        along: The bar that runs along its long side.

    Raises:
        ParameterError: A reading below 90 or above 110 mm, or no number.

    >>> printer = Printer(across=99.6, along=100.2)
    >>> printer.words
    'Corrected for printer: across 1.0040, along 0.9980; use on no other printer.'
    """

    across: float
    along: float

    def __post_init__(self) -> None:
        for name, reading in (("across", self.across), ("along", self.along)):
            # Written so that NaN is refused too.
            if not _LIMITS[0] <= reading <= _LIMITS[1]:
                raise ParameterError(
                    f"printer: the 100 mm bar {name} the page",
                    f"{reading:g} mm",
                    "measure 90 to 110 mm (3.54 to 4.33 in); print at 100 %, not fitted to the page, and read the bar "
                    "marked 100 mm",
                )

    @property
    def factors(self) -> tuple[float, float]:
        """By how much a page must be drawn longer, across and along."""
        return _BAR / self.across, _BAR / self.along

    @property
    def words(self) -> str:
        """What every page says."""
        across, along = self.factors
        return f"Corrected for printer: across {across:.4f}, along {along:.4f}; use on no other printer."

    def room(self, paper: Paper) -> Paper:
        """The paper on which to lay out, so that the margins hold on the screen's page and on the printed one."""
        width, height = (
            (side - 2 * MARGIN) / max(1.0, factor) + 2 * MARGIN
            for side, factor in zip((paper.width, paper.height), self.factors, strict=True)
        )
        return dataclasses.replace(paper, width=width, height=height)

    def corrected(self, sheet: Sheet) -> Sheet:
        """A sheet laid out on such a paper, drawn longer about its middle on the paper's true size."""
        factors = self.factors if sheet.width <= sheet.height else self.factors[::-1]
        sides = [
            round((side - 2 * MARGIN) * max(1.0, factor) + 2 * MARGIN, 6)
            for side, factor in zip((sheet.width, sheet.height), factors, strict=True)
        ]
        laid = (sheet.width, sheet.height)
        x, y = (side / 2 - factor * own / 2 for side, factor, own in zip(sides, factors, laid, strict=True))
        return dataclasses.replace(sheet, width=sides[0], height=sides[1], scale=factors, shift=(x, y))


def printer_of(text: str) -> Printer:
    """What two bars measured, across and along the page, as a text.

    Raises:
        ParameterError: It is not two lengths with an x between them, or a reading that no printer gives at 100 %.
        QuantityError: One of the two is no length.

    >>> printer_of("99.6 x 100.2").across
    99.6
    """
    across, _, along = (part.strip() for part in text.lower().replace("\u00d7", "x").partition("x"))
    if not (across and along):
        must = "tell what the two 100 mm bars measured, across and along the page, such as '99.6 x 100.2'"
        raise ParameterError("printer", repr(text), must)
    return Printer(across=length(across), along=length(along))

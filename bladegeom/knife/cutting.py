"""What the maker chooses about the cut file; as it comes, everything is cut at its nominal size."""

from __future__ import annotations

from typing import Annotated

from bladegeom.quantities.declared import declared
from bladegeom.quantities.field_rules import Between, InUnit, Length, Like, Point

_MOST_ALLOWANCE = 5.0
"""Of steel to grind off all round, mm; own choice: more is another knife."""

_MOST_TABS = 12


@declared("tabs", example="Tabs(count=3, width=1.0)")
class Tabs:
    """Bridges that hold the part in the sheet until it is broken out.

    Args:
        count: How many are placed for the maker, on straight stretches of spine and tang.
        width: Of each gap in the outline, mm. Common practice, no source: 0.5 to 1.5 mm.
        at: Places (x, y) in the design's frame that the maker names in place of a count.

    Raises:
        ParameterError: A count below 1, a width that no tab has, or a place that is none.

    >>> Tabs(count=3, width=0.8).count
    3
    """

    count: Annotated[int, Between(1, _MOST_TABS)] = 2
    width: Annotated[float, Between(0.2, 5.0), InUnit("mm")] = 1.0
    at: Annotated[tuple[Point, ...], Like("((-20.0, 0.0), (30.0, 1.0))")] = ()


@declared("cutting", example="Cutting(allowance=0.3)")
class Cutting:
    """Choices for the cut file. The template and the grind sheet stay at nominal size whatever is chosen.

    Args:
        allowance: The steel's outline is cut so much outside its nominal line all round, to be ground off, mm; holes
            and slots are not touched.
        undersize: Round holes that something fits into are cut so much under their diameter, and drilled or reamed to
            size afterwards, mm; for waterjet 0.25 mm (0.010 in) is usual. Holes that only lighten stay as they are.
        pilot: Holes that the maker drills or reams are cut as pilot holes of this diameter, mm; None leaves them to
            the drill altogether, or cuts them under size where an undersize is given.
        tabs: That hold the steel in its sheet; None has none, and a shop may set its own.
        marks: Whether handle front, plunge line, grind line and mark fields are in the file on a layer of their own.
        scales: Whether the scale blanks get a file too: their outline without holes.

    Raises:
        ParameterError: A value that no cut has.

    >>> from bladegeom import Tabs
    >>> Cutting(allowance=0.3, tabs=Tabs(count=2)).allowance
    0.3
    """

    allowance: Annotated[float, Between(0.0, _MOST_ALLOWANCE), InUnit("mm")] = 0.0
    undersize: Annotated[float, Between(0.0, 1.0), InUnit("mm")] = 0.0
    pilot: Length | None = None
    tabs: Tabs | None = None
    marks: bool = False
    scales: bool = False

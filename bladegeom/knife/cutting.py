"""What the maker chooses about the cut file; as it comes, everything is cut at its nominal size."""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.knife.require import (
    require_all,
    require_between,
    require_kind,
    require_point,
    require_positive,
)

_MOST_ALLOWANCE = 5.0
"""Of steel to grind off all round, mm; own choice: more is another knife."""

_MOST_TABS = 12


@dataclass(frozen=True, kw_only=True)
class Tabs:
    """Bridges that hold the part in the sheet until it is broken out.

    Args:
        count: How many are placed for the maker, on straight stretches of spine and tang.
        width: Of each gap in the outline, mm. Common practice, no source: 0.5 to 1.5 mm.
        at: Places (x, y) in the design's frame that the maker names in place of a count.

    Raises:
        ParameterError: A count below 1, a width that no tab has, or a place that is none.
    """

    count: int = 2
    width: float = 1.0
    at: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        require_kind("tabs", int, "count=3", count=self.count)
        require_between("tabs", 1, _MOST_TABS, count=self.count)
        require_between("tabs", 0.2, 5.0, width=self.width)
        require_all("tabs", tuple, "at=((-20.0, 0.0), (30.0, 1.0))", at=self.at)
        for place in self.at:
            require_point("tabs", at=place)
        object.__setattr__(self, "at", tuple(self.at))


@dataclass(frozen=True, kw_only=True)
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
    """

    allowance: float = 0.0
    undersize: float = 0.0
    pilot: float | None = None
    tabs: Tabs | None = None
    marks: bool = False
    scales: bool = False

    def __post_init__(self) -> None:
        require_between("cutting", 0.0, _MOST_ALLOWANCE, allowance=self.allowance)
        require_between("cutting", 0.0, 1.0, undersize=self.undersize)
        if self.pilot is not None:
            require_positive("cutting", pilot=self.pilot)
        if self.tabs is not None:
            require_kind("cutting", Tabs, "tabs=Tabs(count=3, width=1.0)", tabs=self.tabs)
        require_kind("cutting", bool, "marks=True", marks=self.marks)
        require_kind("cutting", bool, "scales=True", scales=self.scales)

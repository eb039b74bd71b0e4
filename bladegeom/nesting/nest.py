"""Nesting: several blanks on bars or sheets of one steel, and what is left of each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Literal

from bladegeom.nesting.nest_place import Layout, NestPlace, layout
from bladegeom.nesting.nest_search import search_nest
from bladegeom.nesting.nest_stock import MOST_COPIES, Blank, StockPiece
from bladegeom.nesting.nest_true import broken_distances
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import ParameterError, PlacingError
from bladegeom.quantities.field_rules import Count, Distance, Items
from bladegeom.quantities.units import show_length

Grain = Literal["along", "any"]

_MOST_KINDS = 12
"""Different blanks in one nest; own choice: every pair of them is worked out."""

_Blanks = Annotated[tuple[Blank, ...], Items(least=1, most=_MOST_KINDS, way_out="nest the rest by itself")]

_MM3 = 1e-3
"""cm3 in a mm3."""

_SAWN = 1e-3
"""By so much a gap may be narrower than the spacing and still take a saw cut, mm."""


@dataclass(frozen=True, kw_only=True)
class OffCut:
    """The largest rectangle that a straight saw cut leaves of a piece of stock.

    Args:
        length: Along the stock, mm.
        width: Across it, mm.
        mass: In grams.
    """

    length: float
    width: float
    mass: float


@dataclass(frozen=True, kw_only=True)
class Piece:
    """One bar or sheet with what lies on it, from left to right.

    Args:
        places: Of the blanks.
        stock: Its size.
        spacing: Kept between blanks, and for the saw, mm.
        margin: Kept to the border, mm; what is left is no off-cut if it is no wider.
    """

    places: tuple[NestPlace, ...]
    stock: StockPiece
    spacing: float
    margin: float

    @property
    def used(self) -> float:
        """Length that is gone, mm: to the last blank's right end, and one spacing for the saw."""
        return self._gone(max(place.right for place in self.places), self.stock.length)

    @property
    def _top(self) -> float:
        return self._gone(max(place.y + place.lying.size[1] for place in self.places), self.stock.width)

    def _gone(self, reach: float, whole: float) -> float:
        end = reach + self.spacing
        return whole if whole - end <= self.margin + _SAWN else end

    @property
    def _is_above(self) -> bool:
        beside, above = self.stock.length - self.used, self.stock.width - self._top
        return above * self.stock.length > beside * self.stock.width

    @property
    def remnant(self) -> tuple[float, float]:
        """Length and width of the larger rectangle right of the blanks or above them, mm."""
        if self._is_above:
            return self.stock.length, self.stock.width - self._top
        return self.stock.length - self.used, self.stock.width

    @property
    def saw_along(self) -> float | None:
        """Where a cut along the stock frees its off-cut, y in mm; None where that is done by a cut across, or not."""
        return self._top - self.spacing / 2 if self._is_above else None

    @property
    def saw_cuts(self) -> tuple[float, ...]:
        """Where a cut square across passes between blanks, x in mm; blanks between two interlock.

        A cut runs in the middle of its gap. The one that frees the off-cut is the last, half a spacing behind the last
        blank.
        """
        cuts: list[float] = []
        reach = self.places[0].right
        for place in self.places[1:]:
            if place.x - reach >= self.spacing - _SAWN:
                cuts.append((place.x + reach) / 2)
            reach = max(reach, place.right)
        if self.used < self.stock.length and not self._is_above:
            cuts.append(reach + self.spacing / 2)
        return tuple(cuts)


@dataclass(frozen=True, kw_only=True)
class Nest:
    """Blanks on pieces of stock; every distance was measured on the outlines before it came to be.

    Args:
        blanks: What was asked for.
        stock: Size of each piece.
        spacing: Between two blanks, mm.
        margin: To the stock's border, mm.
        pieces: In the order in which they were filled.
        left_out: For how many copies of each blank there was no room.

    >>> from bladegeom import StockPiece, blank_of, nest
    >>> done = nest([blank_of(knife)], StockPiece(length=300.0, width=50.0))
    >>> round(done.off_cut(done.pieces[0]).length)
    62
    """

    blanks: tuple[Blank, ...]
    stock: StockPiece
    spacing: float
    margin: float
    pieces: tuple[Piece, ...]
    left_out: tuple[int, ...]

    def _repr_svg_(self) -> str:
        from bladegeom.writers.notebook import nest_picture  # noqa: PLC0415

        return nest_picture(self)

    def off_cut(self, piece: Piece) -> OffCut:
        """What is left of a piece of stock."""
        length, width = piece.remnant
        return OffCut(length=length, width=width, mass=self.mass(length * width))

    def mass(self, area: float) -> float:
        """Of so much of the stock's face, g; area in mm2."""
        stock = self.blanks[0].stock
        return area * stock.thickness * _MM3 * stock.material.density_g_cm3

    def yield_percent(self, piece: Piece) -> float:
        """Steel inside the outlines, in percent of what is gone of a piece without its off-cut."""
        length, width = piece.remnant
        blanks = sum(self.blanks[place.lying.blank].area for place in piece.places)
        return 100.0 * blanks / (self.stock.area - length * width)


def nest(
    blanks: Sequence[Blank],
    stock: StockPiece,
    *,
    spacing: float = 5.0,
    margin: float = 5.0,
    grain: Grain = "along",
    flip: bool = False,
    pieces: int | None = None,
) -> Nest:
    """Lay blanks on as few pieces of stock as the search finds, and on the last one as far to the left.

    Args:
        blanks: With their copies; of one steel and one thickness.
        stock: Size of every piece; the rolling direction is its length.
        spacing: Least distance between two outlines, mm; the default is common practice, no source: the cutter's kerf
            and what holds the pieces together.
        margin: Least distance from an outline to the stock's border, mm; likewise.
        grain: "along" keeps every blade along the rolling direction; "any" turns by quarters too.
        flip: Whether a blank may be cut face down. What a beam cuts is wider below than above, so its faces differ.
        pieces: Of stock at hand; None takes as many as are needed.

    Raises:
        ParameterError: Blanks of different stock, none or too many, a distance below 0, another word for the grain.
        PlacingError: A blank that does not fit the stock in any way it may lie.

    >>> from bladegeom import StockPiece, blank_of
    >>> done = nest([blank_of(knife, copies=2)], StockPiece(length=500.0, width=50.0))
    >>> len(done.pieces), done.left_out
    (1, (0,))
    """
    asked: tuple[Blank, ...] = checked("nest: blanks", blanks, _Blanks)
    _require(asked, stock, spacing, margin, grain, pieces)
    rules = layout(asked, stock, spacing=spacing, margin=margin, any_grain=grain == "any", flip=flip)
    for i, blank in enumerate(asked):
        if not rules.ways_of(i):
            raise PlacingError(_too_large(blank, rules, i, grain))
    most = sum(blank.copies for blank in asked) if pieces is None else pieces
    trial = search_nest(rules, [blank.copies for blank in asked], most)
    done = tuple(
        Piece(places=tuple(sorted(places, key=lambda p: (p.x, p.y))), stock=stock, spacing=spacing, margin=margin)
        for places in trial.pieces
    )
    for piece in done:
        for fault in broken_distances(piece.places, stock, spacing, margin):
            raise PlacingError(
                f"no nest is given out: measured again, {fault}; a spacing a little larger or another order of the "
                "scripts is another search"
            )
    return Nest(blanks=asked, stock=stock, spacing=spacing, margin=margin, pieces=done, left_out=trial.left_out)


def nest_most(
    blank: Blank,
    stock: StockPiece,
    *,
    spacing: float = 5.0,
    margin: float = 5.0,
    grain: Grain = "along",
    flip: bool = False,
) -> Nest:
    """As many copies of one blank as the search gets onto one piece of stock; see `nest` for the arguments.

    Raises:
        ParameterError: As `nest`.
        PlacingError: Not even one fits.

    >>> from bladegeom import StockPiece, blank_of
    >>> done = nest_most(blank_of(knife), StockPiece(length=500.0, width=50.0))
    >>> len(done.pieces[0].places)
    2
    """
    checked("nest: blank", blank, Blank)
    checked("nest: stock", stock, StockPiece)
    # No more can lie there than their steel would fill.
    bound = max(1, min(MOST_COPIES, int(stock.area // blank.area)))
    asked = replace(blank, copies=bound)
    full = nest([asked], stock, spacing=spacing, margin=margin, grain=grain, flip=flip, pieces=1)
    return replace(full, blanks=(replace(blank, copies=len(full.pieces[0].places)),), left_out=(0,))


def _require(
    blanks: tuple[Blank, ...], stock: StockPiece, spacing: float, margin: float, grain: str, pieces: int | None
) -> None:
    checked("nest: stock", stock, StockPiece)
    checked("nest: spacing", spacing, Distance)
    checked("nest: margin", margin, Distance)
    checked("nest: grain", grain, Literal["along", "any"])
    checked("nest: pieces", pieces, Count | None)
    copies = sum(blank.copies for blank in blanks)
    if copies > MOST_COPIES:
        raise ParameterError("nest: copies in all", copies, f"be at most {MOST_COPIES}; nest the rest by itself")
    first = blanks[0]
    for blank in blanks[1:]:
        mine, other = first.stock, blank.stock
        if (mine.material, mine.thickness) != (other.material, other.thickness):
            raise ParameterError(
                f"nest: stock of {blank.name}",
                f"{other.material.name}, {show_length(other.thickness)}",
                f"be that of {first.name} ({mine.material.name}, {show_length(mine.thickness)}) to share a bar; "
                "nest each steel and each thickness by itself",
            )


def _too_large(blank: Blank, rules: Layout, index: int, grain: Grain) -> str:
    """What does not fit, by how much, and what would."""
    length, width = next(way.size for way in rules.ways if way.blank == index)
    need = tuple(side + 2 * rules.margin for side in (length, width))
    text = (
        f"{blank.name} does not fit: its blank is {show_length(length)} long and {show_length(width)} wide and needs, "
        f"with {show_length(rules.margin)} to each border, {show_length(need[0])} by {show_length(need[1])}; "
        f"the stock is {rules.stock.size}"
    )
    turned = need[1] <= rules.stock.length and need[0] <= rules.stock.width
    return f"{text}; it would fit across the grain, with grain 'any'" if turned and grain == "along" else text

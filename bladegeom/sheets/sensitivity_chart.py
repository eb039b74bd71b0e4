"""What moves the balance, as a chart: balance and mass as the design is, and with each change alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from bladegeom.balance.sensitivities import what_moves_balance
from bladegeom.balance.sensitivity import Sensitivity
from bladegeom.curves.build import line
from bladegeom.design.design import Design
from bladegeom.drawing.axis import Axis, number_axis
from bladegeom.drawing.drawing import (
    LEADER_PEN,
    SMALL_TEXT,
    THIN_PEN,
    Anchor,
    Circle,
    Drawing,
    Item,
    Label,
    Path,
    Pen,
    Sheet,
)
from bladegeom.drawing.sheet import PagePiece, each_on_smallest
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.mass.unweighed import unweighed
from bladegeom.mass.weigh import Weighing, weigh
from bladegeom.quantities.balance_bands import DATUM, BalanceBand, from_front
from bladegeom.quantities.lettering import text_width, wrapped
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.units import MM_PER_INCH, show_mass, show_mm

_WORDS = 76.0
_BALANCE = (79.0, 90.0)
_MASS = (176.0, 62.0)
"""Width of the words; where balance and mass begin and how long they are, mm."""

_ROOM = 142.0
"""Height that a page of A4 or Letter holds between its notes and the bars, mm."""

_NOTE = 4.0
"""What a further note takes of it, mm."""

_LEADING = 2.9
_PAD = 2.4
"""From one line of a row's words to the next, and what a row is higher than its lines, mm."""

_HEAD = 8.5
_FOOT_ROOM = 6.0
"""Above the rows for names and ticks in mm, and below them for ticks in inch."""

_TICK = 1.0
_DOT = 0.75
_BAR = 1.1
_GAP = 1.2
"""Length of a tick, radius of a dot, half the height of a bar, room beside a label, mm."""

_BAND_PEN = Pen(width=0.0, grey=0.87)
_MASS_PEN = Pen(width=0.1, grey=0.62)
_AS_IT_IS_PEN = Pen(width=0.15, dashes=(1.4, 0.9))
_FRONT_PEN = Pen(width=0.13, grey=0.4)
_SHIFT_PEN = Pen(width=0.4)

_FOOT = (
    "Each change is made alone and the knife weighed again; changes together do not simply add up.",
    "A change is not checked for use, strength or looks: run the check on it before deciding.",
)


class _Row(NamedTuple):
    """One line of the chart: its words, its numbers if it has any, and what stands in their place."""

    words: tuple[str, ...]
    balance: float | None
    mass: float | None
    instead: tuple[str, ...]

    @property
    def height(self) -> float:
        """On the page, mm."""
        return max(len(self.words), len(self.instead)) * _LEADING + _PAD


def sensitivity_pages(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """All pages of the chart, each on the first of some papers that takes it.

    Args:
        design: The knife, and what follows from it.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of every page.

    Raises:
        ExportError: A page fits none of them.
    """
    return each_on_smallest(_pieces(design.knife, design.title, tuple(remarks)), papers)


@memo
def _pieces(knife: Knife, name: str, remarks: Sequence[str]) -> tuple[PagePiece, ...]:
    """Every page, for whatever paper."""
    weighing = weigh(knife)
    chart, rows = _chart(weighing, what_moves_balance(weighing))
    notes = (_as_it_is_words(weighing), *_left_out_words(knife), *_band_words(knife.balance_band), *remarks)
    pages = list(_paged(rows, _ROOM - _NOTE * len(notes)))
    out = []
    for number, page in enumerate(pages, start=1):
        title = f"{name}: what moves the balance"
        title += f", page {number} of {len(pages)}" if len(pages) > 1 else ""
        drawing = Drawing(name=knife.name, items=tuple(chart.items(page)))
        out.append(PagePiece(drawing=drawing, head=(title, *notes), foot=_FOOT))
    return tuple(out)


def _as_it_is_words(weighing: Weighing) -> str:
    return f"As it is: {show_mass(weighing.total.amount)}, balance {from_front(weighing.balance_from_front)}."


def _left_out_words(knife: Knife) -> Iterator[str]:
    if left_out := unweighed(knife):
        yield f"Every number here is WITHOUT the {' and '.join(left_out)}, which is no part of the design."


def _band_words(band: BalanceBand | None) -> Iterator[str]:
    if band is not None:
        yield f"Shaded: the band declared, {band.name}, {band.words} ({band.source})."


def _paged(rows: Iterable[_Row], room: float) -> Iterator[tuple[_Row, ...]]:
    page: list[_Row] = []
    for row in rows:
        if page and sum(sensitivity.height for sensitivity in (*page, row)) + _HEAD + _FOOT_ROOM > room:
            yield tuple(page)
            page = []
        page.append(row)
    yield tuple(page)


def _chart(weighing: Weighing, tried: Sequence[Sensitivity]) -> tuple[_Chart, list[_Row]]:
    """The chart with scales that hold every change, and its rows, the design itself first."""
    base, mass, band = weighing.balance_from_front, weighing.total.amount, weighing.knife.balance_band
    rows = [_Row(("as it is",), base, mass, ()), *(_row(sensitivity) for sensitivity in tried)]
    ends = (band.low, band.high) if band else ()
    balances = [0.0, base, *ends, *(row.balance for row in rows if row.balance is not None)]
    masses = [0.0, mass, *(row.mass for row in rows if row.mass is not None)]
    # Every number stands outside of its dot or bar: both scales end that much before their room does.
    beside = max(text_width(_balance_words(balance, base), SMALL_TEXT) for balance in balances) + 2 * _GAP + _DOT
    above = max(text_width(_mass_words(grams, mass), SMALL_TEXT) for grams in masses) + 2 * _GAP
    (left, wide), (low, long) = _BALANCE, _MASS
    chart = _Chart(
        balance=number_axis(balances, left + beside, wide - 2 * beside, lying=True),
        mass=number_axis(masses, low, long - above, lying=True),
        base=base,
        weight=mass,
        band=band,
    )
    return chart, rows


def _row(sensitivity: Sensitivity) -> _Row:
    text = f"{sensitivity.name}: {sensitivity.change}"
    text += f"; brings errors: {', '.join(sensitivity.brings)}" if sensitivity.brings else ""
    words = tuple(wrapped(text, SMALL_TEXT, _WORDS))
    room = _MASS[0] + _MASS[1] - _BALANCE[0]
    refused = wrapped(f"cannot be built: {sensitivity.refused}", SMALL_TEXT, room) if sensitivity.refused else ()
    return _Row(words, sensitivity.balance, sensitivity.mass, tuple(refused))


def _balance_words(balance: float, base: float) -> str:
    """A balance point, and by how far it differs from that of the design."""
    return show_mm(balance) + ("" if balance == base else f" ({show_mm(balance - base, sign=True)})")


def _mass_words(mass: float, weight: float) -> str:
    """A mass, and by how much it differs from that of the design."""
    return show_mass(mass) + ("" if mass == weight else f" ({show_mass(mass - weight, sign=True)})")


@dataclass(frozen=True, kw_only=True)
class _Chart:
    """Where balance and mass lie on the page, and what is the same in every row.

    Args:
        balance: Axis of the balance point, mm from the handle front at the spine.
        mass: Axis of the mass, g.
        base: Balance point of the design, mm.
        weight: Mass of the design, g.
        band: That is declared for the balance point.
    """

    balance: Axis
    mass: Axis
    base: float
    weight: float
    band: BalanceBand | None

    def items(self, rows: Sequence[_Row]) -> Iterator[Item]:
        """A page of rows, upper left corner at the origin."""
        top, low = -_HEAD, -_HEAD - sum(row.height for row in rows)
        yield from self._shaded(top, low)
        yield from self._axes(top, low)
        y = top
        for row in rows:
            yield Path(layer="NOTE", curve=line((0.0, y), (_MASS[0] + _MASS[1], y)), pen=LEADER_PEN)
            yield from self._row(row, y)
            y -= row.height
        yield Path(layer="NOTE", curve=line((0.0, y), (_MASS[0] + _MASS[1], y)), pen=THIN_PEN)

    def _shaded(self, top: float, low: float) -> Iterator[Item]:
        if self.band is not None:
            x0, x1 = self.balance.place(self.band.low), self.balance.place(self.band.high)
            corners = ((x0, low), (x1, low), (x1, top), (x0, top), (x0, low))
            yield Path(layer="NOTE", curve=line(*corners), closed=True, pen=_BAND_PEN, filled=True)

    def _axes(self, top: float, low: float) -> Iterator[Item]:
        left, start = _BALANCE[0], _MASS[0]
        title = f"balance from {DATUM}, + towards the tip: mm, below in"
        yield _label(left, -SMALL_TEXT, title, anchor="start", bold=True)
        yield _label(start, -SMALL_TEXT, "mass of the knife: g", anchor="start", bold=True)
        for axis in (self.balance, self.mass):
            for value, text in axis.ticks.items():
                yield from _tick(axis.place(value), top, text, up=True)
        for value, text in _inches(self.balance):
            yield from _tick(self.balance.place(value), low, text, up=False)

    def _row(self, row: _Row, top: float) -> Iterator[Item]:
        middle = top - row.height / 2
        yield from _lines(row.words, 0.0, middle)
        if row.balance is None or row.mass is None:
            yield from _lines(row.instead, _BALANCE[0], middle)
            return
        numbers = self._balance_number(row.balance, middle), self._mass_number(row.mass, middle)
        yield from self._uprights(top, top - row.height, numbers)
        yield from self._shift(row.balance, middle)
        yield from self._bar(row.mass, middle)
        yield from numbers

    def _balance_number(self, balance: float, y: float) -> Label:
        """Beside the dot, away from where it came from."""
        x, back = self.balance.place(balance), balance < self.base
        aside = (_DOT + _GAP) * (-1.0 if back else 1.0)
        text = _balance_words(balance, self.base)
        return _label(x + aside, y - SMALL_TEXT / 2, text, anchor="end" if back else "start")

    def _mass_number(self, mass: float, y: float) -> Label:
        text = _mass_words(mass, self.weight)
        return _label(self.mass.place(max(mass, self.weight)) + _GAP, y - SMALL_TEXT / 2, text, anchor="start")

    def _uprights(self, top: float, low: float, numbers: Sequence[Label]) -> Iterator[Item]:
        """Handle front, balance and mass of the design, through a row but not through its numbers."""
        front, base, mass = self.balance.place(0.0), self.balance.place(self.base), self.mass.place(self.weight)
        for x, pen in ((front, _FRONT_PEN), (base, _AS_IT_IS_PEN), (mass, _AS_IT_IS_PEN)):
            if not any(label.corners[0, 0] - _GAP / 2 < x < label.corners[1, 0] + _GAP / 2 for label in numbers):
                yield Path(layer="NOTE", curve=line((x, top), (x, low)), pen=pen)

    def _shift(self, balance: float, y: float) -> Iterator[Item]:
        """A line from the balance point of the design to the changed one, a dot at its end."""
        x0, x1 = self.balance.place(self.base), self.balance.place(balance)
        if abs(x1 - x0) > _DOT:
            yield Path(layer="NOTE", curve=line((x0, y), (x1, y)), pen=_SHIFT_PEN)
        yield Circle(layer="NOTE", x=x1, y=y, radius=_DOT, pen=THIN_PEN, filled=True)

    def _bar(self, mass: float, y: float) -> Iterator[Item]:
        x0, x1 = self.mass.place(0.0), self.mass.place(mass)
        corners = ((x0, y - _BAR), (x1, y - _BAR), (x1, y + _BAR), (x0, y + _BAR), (x0, y - _BAR))
        yield Path(layer="NOTE", curve=line(*corners), closed=True, pen=_MASS_PEN, filled=True)


def _inches(axis: Axis) -> Iterator[tuple[float, str]]:
    """Ticks in inch along an axis in mm: values in mm with their texts."""
    inch = float(MM_PER_INCH)
    same = number_axis((axis.low / inch, axis.high / inch), axis.start, axis.length, lying=True)
    for value, text in same.ticks.items():
        if axis.low <= value * inch <= axis.high:
            yield value * inch, text


def _tick(x: float, y: float, text: str, *, up: bool) -> Iterator[Item]:
    way = _TICK if up else -_TICK
    yield Path(layer="NOTE", curve=line((x, y), (x, y + way)), pen=THIN_PEN)
    yield _label(x, y + (1.8 if up else -1.8 - SMALL_TEXT), text)


def _lines(texts: Sequence[str], x: float, middle: float) -> Iterator[Label]:
    """Lines of text about a middle."""
    first = middle + (len(texts) - 1) * _LEADING / 2 - SMALL_TEXT / 2
    for i, text in enumerate(texts):
        yield _label(x, first - i * _LEADING, text, anchor="start")


def _label(x: float, y: float, text: str, *, anchor: Anchor = "middle", bold: bool = False) -> Label:
    return Label(layer="NOTE", x=x, y=y, text=text, height=SMALL_TEXT, anchor=anchor, bold=bold)

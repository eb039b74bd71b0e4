"""A sweep as two charts, mass and balance over one parameter, with a line for each value of a second one."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from bladegeom.curves.build import line
from bladegeom.drawing.axis import Axis, name_axis, number_axis, spread
from bladegeom.drawing.drawing import LEADER_PEN, SMALL_TEXT, Anchor, Circle, Drawing, Item, Label, Path, Pen, Sheet
from bladegeom.mass.unweighed import without_words
from bladegeom.quantities.balance_bands import DATUM
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import wrapped
from bladegeom.studies.variant import Outcome, Row

_WIDTH, _HEIGHT, _GAP = 130.0, 60.0, 11.0
"""Of a chart, and between the two, mm."""

_MARGIN = 8.0
_ABOVE = 1.8
"""From the top of a chart to its heading, mm."""

_PITCH = 3.0
"""From one label of a line to the next, and from row to row of what failed, mm."""

_LEAD = 6.0
"""From the end of a chart to the labels of its lines, mm."""

_TITLE = 3.2
_DOT, _RING, _CROSS = 0.5, 0.8, 0.8
"""Radii of the marks; half the width of a cross, mm."""

_APART = 2.0
"""Marks of variants without errors are left out where they would stand closer than this, mm."""

_FRAME = Pen(width=0.18)
_LINES = (
    Pen(width=0.3),
    Pen(width=0.3, dashes=(3.0, 1.0)),
    Pen(width=0.3, dashes=(1.0, 0.8)),
    Pen(width=0.3, dashes=(4.0, 0.8, 0.8, 0.8)),
)
_GRID = Pen(width=0.1, grey=0.75)
_PAPER = Pen(width=0.0, grey=1.0)

_LEGEND = "dot: no error among the findings; ring: an error stands; cross: failed, the table says why"


_Number = Callable[[Outcome], float]


@dataclass(frozen=True, kw_only=True)
class _Series:
    """The variants with one value of the second parameter, from left to right."""

    name: str
    pen: Pen
    rows: tuple[tuple[float, Row], ...]

    @property
    def outcomes(self) -> list[tuple[float, Outcome]]:
        return [(x, row.outcome) for x, row in self.rows if not isinstance(row.outcome, str)]

    @property
    def stretches(self) -> list[list[tuple[float, Outcome]]]:
        """Outcomes that follow each other without a failure between."""
        out: list[list[tuple[float, Outcome]]] = [[]]
        for x, row in self.rows:
            if isinstance(row.outcome, str):
                out.append([])
            else:
                out[-1].append((x, row.outcome))
        return [stretch for stretch in out if stretch]

    @property
    def failures(self) -> list[float]:
        return [x for x, row in self.rows if row.failed]


def swept(grid: Mapping[str, Sequence[object]]) -> list[str]:
    """The parameters that have more than one value.

    Raises:
        ExportError: None, or more than a chart can show.
    """
    names = [name for name, values in grid.items() if len(values) > 1]
    if not 1 <= len(names) <= 2:
        much = "no parameter has" if not names else f"{', '.join(names)} have"
        way = "give one of them more values" if not names else "give one value to all but two"
        raise ExportError(
            f"a chart shows one or two parameters, and {much} more than one value; {way}, or leave out the chart and "
            "use the table"
        )
    return names


def sweep_chart(grid: Mapping[str, Sequence[object]], rows: Sequence[Row], *, name: str) -> Sheet:
    """The chart on a page that just holds it.

    Args:
        grid: Values by parameter: the first with several lies along the charts, the second is told from line to line.
        rows: Of all variants.
        name: Of the design.

    Raises:
        ExportError: No parameter or more than two have several values, or no variant gives a knife.
    """
    first, *second = swept(grid)
    if all(row.failed for row in rows):
        raise ExportError("no variant of this sweep gives a knife: there is nothing to draw, the table says why")
    values = list(dict.fromkeys(grid[first]))
    along, places = _along(values)
    series = _series(rows, places, first, second)
    height = max(_HEIGHT, _PITCH * (len(series) + 1))
    title = f"{name}: {first}" + "".join(f" and {of}" for of in second)
    items: list[Item] = []
    low = 0.0
    without = _without(rows)
    for told, what in ((f"mass{without}, g", _mass), (f"balance from {DATUM}{without}, mm", _balance)):
        low -= height + _GAP
        items += _panel(series, what, along, low, height)
        items.append(_label(0.0, low + height + _ABOVE, told))
        items += [_label(_WIDTH + _LEAD, low + height + _ABOVE, of) for of in second]
    rows_of_failures, low = _failures(series, along, low)
    fixed = ", ".join(f"{of} = {_text(same[0])}" for of, same in grid.items() if of not in (first, *second))
    items += [*rows_of_failures, *_below(along, low, first), *_head(title, fixed)]
    return _page(items, title)


def _without(rows: Sequence[Row]) -> str:
    """What no number of the sweep holds, or some of them do not."""
    outcomes = [row.outcome for row in rows if not isinstance(row.outcome, str)]
    parts = list(dict.fromkeys(part for outcome in outcomes for part in outcome.unweighed))
    some = "" if all(outcome.unweighed for outcome in outcomes) else " on some"
    return f"{without_words(parts)}{some}" if parts else ""


def _along(values: Sequence[object]) -> tuple[Axis, dict[object, float]]:
    """The axis of the first parameter, and where on it each value lies."""
    numbers: dict[object, float] = {
        value: float(value) for value in values if isinstance(value, int | float) and not isinstance(value, bool)
    }
    if len(numbers) == len(values):
        return number_axis(list(numbers.values()), 0.0, _WIDTH, lying=True), numbers
    names = [_text(value) for value in values]
    return name_axis(names, 0.0, _WIDTH), {value: float(i) for i, value in enumerate(values)}


def _series(rows: Sequence[Row], places: Mapping[object, float], first: str, second: Sequence[str]) -> list[_Series]:
    found: dict[str, dict[float, Row]] = {}
    for row in rows:
        of = "".join(_text(row.parameters[name]) for name in second)
        found.setdefault(of, {})[places[row.parameters[first]]] = row
    return [
        _Series(name=name, pen=pen, rows=tuple(sorted(by_place.items(), key=lambda placed: placed[0])))
        for (name, by_place), pen in zip(found.items(), itertools.cycle(_LINES), strict=False)
    ]


def _panel(series: Sequence[_Series], what: _Number, along: Axis, low: float, height: float) -> Iterator[Item]:
    """Frame, ticks, lines and marks of one chart; its lower left corner lies at x 0."""
    numbers = [what(outcome) for chart_line in series for _, outcome in chart_line.outcomes]
    up = number_axis(numbers, low, height, lying=False)
    for value, text in up.ticks.items():
        y = up.place(value)
        yield Path(layer="NOTE", curve=line((0.0, y), (_WIDTH, y)), pen=_GRID)
        yield _label(-1.5, y - SMALL_TEXT / 2, text, anchor="end")
    for value in along.ticks:
        yield Path(layer="NOTE", curve=line((along.place(value), low), (along.place(value), low + 1.2)), pen=_FRAME)
    corners = ((0.0, low), (_WIDTH, low), (_WIDTH, up.end), (0.0, up.end), (0.0, low))
    yield Path(layer="NOTE", curve=line(*corners), closed=True, pen=_FRAME)
    yield from _names(series, what, along, up)
    for chart_line in series:
        for stretch in chart_line.stretches:
            way = [(along.place(x), up.place(what(outcome))) for x, outcome in stretch]
            if len(way) > 1:
                yield Path(layer="NOTE", curve=line(*way), pen=chart_line.pen)
            yield from _marks(way, [outcome for _, outcome in stretch], alone=len(way) == 1)


def _marks(way: Sequence[tuple[float, float]], outcomes: Sequence[Outcome], *, alone: bool) -> Iterator[Item]:
    last = -_APART
    for (x, y), outcome in zip(way, outcomes, strict=True):
        if outcome.errors:
            yield Circle(layer="NOTE", x=x, y=y, radius=_RING, pen=_PAPER, filled=True)
            yield Circle(layer="NOTE", x=x, y=y, radius=_RING, pen=_FRAME)
        elif alone or x - last >= _APART:
            yield Circle(layer="NOTE", x=x, y=y, radius=_DOT, pen=_FRAME, filled=True)
            last = x


def _names(series: Sequence[_Series], what: _Number, along: Axis, up: Axis) -> Iterator[Item]:
    """What each line is, beside its end, on a leader."""
    ends = [
        (chart_line.name, *chart_line.outcomes[-1]) for chart_line in series if chart_line.name and chart_line.outcomes
    ]
    ends.sort(key=lambda end: what(end[2]))
    half = SMALL_TEXT / 2
    places = spread([up.place(what(outcome)) for _, _, outcome in ends], _PITCH, up.start + half, up.end - half)
    for (name, x, outcome), y in zip(ends, places, strict=True):
        way = [(along.place(x), up.place(what(outcome))), (_WIDTH + _LEAD - 1.0, y)]
        yield Path(layer="NOTE", curve=line(*way), pen=LEADER_PEN)
        yield _label(_WIDTH + _LEAD, y - half, name)


def _failures(series: Sequence[_Series], along: Axis, low: float) -> tuple[list[Item], float]:
    """A row of crosses for each series with failures, and the lower border of them all."""
    items: list[Item] = []
    for chart_line in (chart_line for chart_line in series if chart_line.failures):
        low -= _PITCH
        y = low + _PITCH / 2
        for x in (along.place(failure) for failure in chart_line.failures):
            for way in (1.0, -1.0):
                ends = ((x - _CROSS, y - way * _CROSS), (x + _CROSS, y + way * _CROSS))
                items.append(Path(layer="NOTE", curve=line(*ends), pen=_FRAME))
        items += [_label(-1.5, y - SMALL_TEXT / 2, "failed", anchor="end")]
        items += [_label(_WIDTH + _LEAD, y - SMALL_TEXT / 2, chart_line.name)]
    return items, low


def _below(along: Axis, low: float, name: str) -> Iterator[Item]:
    """Ticks' texts, the parameter's name and the legend."""
    deepest = 0.0
    for value, text in along.ticks.items():
        x, y = along.place(value), low - 1.5
        if along.upright:
            tick = Label(
                layer="NOTE", x=x + SMALL_TEXT / 2, y=y, text=text, height=SMALL_TEXT, angle_deg=90.0, anchor="end"
            )
            deepest = max(deepest, tick.width)
        else:
            tick = _label(x, y - SMALL_TEXT, text, anchor="middle")
            deepest = SMALL_TEXT
        yield tick
    y = low - deepest - 3.0 * SMALL_TEXT
    yield _label(_WIDTH / 2, y, name, anchor="middle")
    yield _label(0.0, y - 2.5 * SMALL_TEXT, _LEGEND)


def _head(title: str, fixed: str) -> Iterator[Label]:
    """Title and what is the same in all variants, from the bottom up."""
    y = 0.0
    for text in reversed(wrapped(fixed, SMALL_TEXT, _WIDTH) if fixed else []):
        yield _label(0.0, y, text)
        y += 1.5 * SMALL_TEXT
    y += 0.3 * _TITLE if y else 0.0
    for text in reversed(wrapped(title, _TITLE, _WIDTH, bold=True)):
        yield Label(layer="NOTE", x=0.0, y=y, text=text, height=_TITLE, bold=True)
        y += 1.5 * _TITLE


def _page(items: Sequence[Item], name: str) -> Sheet:
    drawing = Drawing(name=name, items=tuple(items))
    x0, y0, x1, y1 = drawing.bounds
    moved = drawing.moved(_MARGIN - x0, _MARGIN - y0)
    return Sheet(width=x1 - x0 + 2 * _MARGIN, height=y1 - y0 + 2 * _MARGIN, drawing=moved)


def _label(x: float, y: float, text: str, *, anchor: Anchor = "start") -> Label:
    return Label(layer="NOTE", x=x, y=y, text=text, height=SMALL_TEXT, anchor=anchor)


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _mass(outcome: Outcome) -> float:
    return outcome.mass


def _balance(outcome: Outcome) -> float:
    return outcome.balance

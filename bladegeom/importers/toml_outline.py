"""An outline from a small text file of knots, for whoever would rather not write a script for the shape."""

from __future__ import annotations

import itertools
import math
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

import numpy as np

from bladegeom.curves.build import spline
from bladegeom.curves.curve import Curve, Vector, join
from bladegeom.importers.source import read_bytes
from bladegeom.outline.outline import CURVE_NAMES, Outline
from bladegeom.quantities.errors import CurveError, OutlineError, QuantityError, UnreadableFileError
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import length

_UNITS: Final = ("mm", "cm", "in")
_MOST_KNOTS = 200
"""Of one curve; own choice: it is solved at once, and nobody types more."""


def outline_from_toml(path: str | Path) -> Outline:
    """The outline that a TOML file describes by knots.

    A table for each of edge, spine, handle_top, butt, handle_underside and choil, in the design's frame: counter-
    clockwise from the heel, origin where the spine meets the handle front::

        unit = "mm"                                   # of bare numbers; "in" and "cm" too
        [edge]
        knots = [[9, -28], [50, -28.3], [110, -10]]   # or ["4-1/4 in", "-10 mm"]
        end_deg = 60                                  # direction of travel, from +x counter-clockwise

    A knot may have a third entry: a direction in degrees that the curve has there, or "corner".

    Raises:
        UnreadableFileError: No such file; the message names table and knot and says what to write.
    """
    name = str(path)
    try:
        content = tomllib.loads(read_bytes(path).decode("utf-8-sig"))
    except (ValueError, RecursionError) as error:  # of ValueErrors also letters that are none, and endless integers
        raise UnreadableFileError(name, f"is no TOML: {error}") from error
    unit = content.get("unit", "mm")
    if unit not in _UNITS:
        raise UnreadableFileError(name, f"unit = {str(unit)[:40]!r}: it must be one of {', '.join(_UNITS)}")
    unknown = set(content) - {"unit", *CURVE_NAMES}
    missing = [one for one in CURVE_NAMES if one not in content]
    if unknown or missing:
        what = f"lacks [{missing[0]}]" if missing else f"has {sorted(unknown)[0][:40]!r}, which means nothing here"
        raise UnreadableFileError(name, f"{what}; it wants unit and the tables {', '.join(CURVE_NAMES)}")
    try:
        curves: dict[str, Any] = {one: _curve(content[one], one, unit, name) for one in CURVE_NAMES}
        return Outline(**_sewn(curves))
    except OutlineError as error:
        raise UnreadableFileError(name, str(error)) from error


def _sewn(curves: dict[str, Any]) -> dict[str, Any]:
    """Ends that were written in inch in one table and in mm in the next are one point."""
    out = dict(curves)
    for one, following in itertools.pairwise([*CURVE_NAMES, CURVE_NAMES[0]]):
        end, pieces = out[one].end, out[following].pieces
        if 0 < math.dist(end, pieces[0, 0]) <= SHOP:
            out[following] = Curve(np.concatenate([[[end, *pieces[0, 1:]]], pieces[1:]]))
    return out


def _curve(table: object, part: str, unit: str, name: str) -> Curve:
    """One spline, or several that meet in corners and knots with a direction."""
    if not isinstance(table, Mapping) or set(table) - {"knots", "start_deg", "end_deg"}:
        raise UnreadableFileError(name, f"[{part}] takes knots, start_deg and end_deg, and nothing else")
    rows = table.get("knots")
    if not isinstance(rows, list) or not 2 <= len(rows) <= _MOST_KNOTS:
        raise UnreadableFileError(name, f"[{part}] knots: write 2 to {_MOST_KNOTS} of them, as [[x, y], [x, y]]")
    knots = [_knot(row, f"[{part}] knot {i}", unit, name) for i, row in enumerate(rows, start=1)]
    ends = {key: _degrees(table.get(key), f"[{part}] {key}", name) for key in ("start_deg", "end_deg")}
    stops = [0, *(i for i, (_, how) in enumerate(knots) if how is not None and 0 < i < len(knots) - 1), len(knots) - 1]
    ways: dict[int, float | None] = {i: None if how == "corner" else how for i, (_, how) in enumerate(knots)}  # type: ignore[misc]
    ways[0] = ways[0] if ends["start_deg"] is None else ends["start_deg"]
    ways[stops[-1]] = ways[stops[-1]] if ends["end_deg"] is None else ends["end_deg"]
    try:
        return join(
            *(
                spline([point for point, _ in knots[a : b + 1]], start_deg=ways[a], end_deg=ways[b])
                for a, b in itertools.pairwise(stops)
            )
        )
    except CurveError as error:
        raise UnreadableFileError(name, f"[{part}] {error}") from error


def _knot(row: object, where: str, unit: str, name: str) -> tuple[Vector, float | str | None]:
    if not isinstance(row, list) or len(row) not in (2, 3):
        raise UnreadableFileError(name, f'{where}: write [x, y], [x, y, degrees] or [x, y, "corner"]')
    x, y = (_length(value, where, unit, name) for value in row[:2])
    how = row[2] if len(row) == 3 else None
    return (x, y), how if how == "corner" else _degrees(how, where, name)


def _length(value: Any, where: str, unit: str, name: str) -> float:
    bare = isinstance(value, int | float) and not isinstance(value, bool)
    try:
        return length(f"{value!r} {unit}" if bare and abs(value) < 1e15 and "e" not in repr(value) else value)
    except QuantityError as error:
        raise UnreadableFileError(name, f"{where}: {error}") from error


def _degrees(value: object, where: str, name: str) -> float | None:
    if value is None:
        return None
    if not isinstance(value, int | float) or isinstance(value, bool) or not -360 <= value <= 360:
        raise UnreadableFileError(name, f"{where}: {str(value)[:40]!r} is no direction; write degrees from -360 to 360")
    return float(value)

"""An outline from a small text file of knots, for whoever would rather not write a script for the shape."""

from __future__ import annotations

import itertools
import math
from pathlib import Path
from typing import Any, Final

import numpy as np

from bladegeom.curves.build import spline
from bladegeom.curves.curve import Curve, Vector, join
from bladegeom.outline.outline import CURVE_NAMES, Outline
from bladegeom.quantities.errors import CurveError, OutlineError, QuantityError
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.toml_table import TomlTable, read_toml
from bladegeom.quantities.units import length

_UNITS: Final = ("mm", "cm", "in")
_MOST_BYTES = 1_000_000
"""Six curves of the most knots take a tenth of it; own choice."""

_MOST_KNOTS = 200
"""Of one curve; own choice: it is solved at once, and nobody types more."""


def outline_from_toml(path: str | Path) -> Outline:
    r"""The outline that a TOML file describes by knots.

    A table for each of edge, spine, handle_top, butt, handle_underside and choil, in the design's frame: counter-
    clockwise from the heel, origin where the spine meets the handle front::

        unit = "mm"                                   # of bare numbers; "in" and "cm" too
        [edge]
        knots = [[9, -28], [50, -28.3], [110, -10]]   # or ["4-1/4 in", "-10 mm"]
        end_deg = 60                                  # direction of travel, from +x counter-clockwise

    A knot may have a third entry: a direction in degrees that the curve has there, or "corner".

    Raises:
        UnreadableFileError: No such file; the message names table and knot and says what to write.

    >>> path = folder / "knife.toml"
    >>> _ = path.write_text(
    ...     "edge.knots = [[9, -28], [50, -28.3], [110, -10]]\n"
    ...     "spine.knots = [[110, -10], [60, -1], [0, 0]]\n"
    ...     "handle_top.knots = [[0, 0], [-50, 2], [-110, -3]]\n"
    ...     "butt.knots = [[-110, -3], [-112, -15, 'corner'], [-108, -27]]\n"
    ...     "handle_underside.knots = [[-108, -27], [-50, -24], [0, -22]]\n"
    ...     "choil.knots = [[0, -22], [5, -23], [9, -28]]\n"
    ... )
    >>> outline_from_toml(path).tip
    (110.0, -10.0)
    """
    file = read_toml(path, most_bytes=_MOST_BYTES, advice="a knife takes some dozens of knots")
    _require_known(file)
    unit = file.content.get("unit", "mm")
    try:
        curves = {part: _curve(_part(file, part), unit) for part in CURVE_NAMES}
        return Outline(**_sewn(curves))
    except OutlineError as error:
        raise file.error(str(error)) from error


def _require_known(file: TomlTable) -> None:
    unit = file.content.get("unit", "mm")
    if unit not in _UNITS:
        raise file.error(f"unit is {str(unit)[:40]!r}; it must be one of {', '.join(_UNITS)}", "unit")
    wanted = f"it wants unit and the tables {', '.join(CURVE_NAMES)}"
    missing = [part for part in CURVE_NAMES if part not in file.content]
    if missing:
        raise file.error(f"lacks [{missing[0]}]; {wanted}")
    unknown = [key for key in file.content if key not in ("unit", *CURVE_NAMES)]
    if unknown:
        raise file.error(f"the file has {unknown[0][:40]!r}, which means nothing here; {wanted}", unknown[0])


def _part(file: TomlTable, part: str) -> TomlTable:
    table = file.table(part)
    if table is None or set(table.content) - {"knots", "start_deg", "end_deg"}:
        raise file.error(f"[{part}] takes knots, start_deg and end_deg, and nothing else", part)
    return table


def _sewn(curves: dict[str, Any]) -> dict[str, Any]:
    """Ends that were written in inch in one table and in mm in the next are one point."""
    out = dict(curves)
    for curve, following in itertools.pairwise([*CURVE_NAMES, CURVE_NAMES[0]]):
        end, pieces = out[curve].end, out[following].pieces
        if 0 < math.dist(end, pieces[0, 0]) <= SHOP:
            out[following] = Curve(np.concatenate([[[end, *pieces[0, 1:]]], pieces[1:]]))
    return out


def _curve(table: TomlTable, unit: str) -> Curve:
    """One spline, or several that meet in corners and knots with a direction."""
    part = table.path[0]
    rows = table.content.get("knots")
    if not isinstance(rows, list) or not 2 <= len(rows) <= _MOST_KNOTS:
        raise table.error(f"[{part}] knots: write 2 to {_MOST_KNOTS} of them, as [[x, y], [x, y]]", "knots")
    knots = [_knot(table, i, row, unit) for i, row in enumerate(rows)]
    ends = {key: _degrees(table, table.content.get(key), key, key) for key in ("start_deg", "end_deg")}
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
        raise table.error(f"[{part}] {error}", "knots") from error


def _knot(table: TomlTable, index: int, row: object, unit: str) -> tuple[Vector, float | str | None]:
    where, keys = f"knot {index + 1}", ("knots", index)
    if not isinstance(row, list) or len(row) not in (2, 3):
        raise table.error(f'[{table.path[0]}] {where}: write [x, y], [x, y, degrees] or [x, y, "corner"]', *keys)
    x, y = (_length(table, value, where, unit, *keys) for value in row[:2])
    how = row[2] if len(row) == 3 else None
    return (x, y), how if how == "corner" else _degrees(table, how, where, *keys)


def _length(table: TomlTable, value: Any, where: str, unit: str, *keys: str | int) -> float:
    bare = isinstance(value, int | float) and not isinstance(value, bool)
    try:
        return length(f"{value!r} {unit}" if bare and abs(value) < 1e15 and "e" not in repr(value) else value)
    except QuantityError as error:
        raise table.error(f"[{table.path[0]}] {where}: {error}", *keys) from error


def _degrees(table: TomlTable, value: object, where: str, *keys: str | int) -> float | None:
    if value is None:
        return None
    if not isinstance(value, int | float) or isinstance(value, bool) or not -360 <= value <= 360:
        message = f"[{table.path[0]}] {where}: {str(value)[:40]!r} is no direction; write degrees from -360 to 360"
        raise table.error(message, *keys)
    return float(value)

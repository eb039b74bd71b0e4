"""How findings about a cut file are worded, and the sources that several of them share."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Final, TypeVar

from bladegeom.curves.curve import Vector
from bladegeom.knife.finding import Finding, Severity
from bladegeom.quantities.units import show_length, show_mm, show_size

PART: Final = "cut file"

CLOSED_PATHS: Final = (
    "a cutting shop's CAD requirements: each perimeter one closed path of lines and arcs, ends touching"
)
NO_DOUBLES: Final = "a cutting shop's CAD requirements: no hidden duplicates, no 3-way intersections, no loose ends"
LINES_ARCS: Final = "a cutting shop's CAD requirements: true arcs preferred; no splines is common practice"
CUT_ONLY: Final = "cutting shops' file requirements: cut geometry only"

_MOST = 10
"""Findings of one code that are told one by one; own choice."""


def a_or_an(kind: str) -> str:
    """A kind of line with its article: a line, an arc."""
    return f"{'an' if kind[:1].lower() in tuple('aeiou') else 'a'} {kind}"


def cut_finding(
    code: str,
    severity: Severity,
    message: str,
    place: Vector | None,
    *,
    source: str,
    measured: float | None = None,
    limit: float | None = None,
) -> Finding:
    """A finding about a cut file; the place stands at the end of its message too."""
    x, y = place if place is not None else (None, None)
    where = "" if place is None else f", {at(place)}"
    head, semicolon, way_out = message.partition("; ")
    return Finding(
        code=code,
        severity=severity,
        part=PART,
        message=f"{head}{where}{semicolon}{way_out}",
        measured=measured,
        limit=limit,
        source=source,
        x=x,
        y=y,
    )


def at(place: Vector) -> str:
    """A place in words."""
    return f"at x {show_mm(place[0])}, y {show_mm(place[1])} mm"


def width_by_height(width: float, height: float) -> str:
    """Width and height in both units."""
    return show_size(width, height)


_Thing = TypeVar("_Thing")


def each(things: Sequence[_Thing], told: Callable[[_Thing], Finding]) -> Iterator[Finding]:
    """One finding for each of many things of the same code and severity.

    From the tenth on it is the tenth again: those are counted but not told (see :func:`few`), and to word a hundred
    thousand takes long.
    """
    if len(things) == 0:
        return
    first = [told(thing) for thing in things[:_MOST]]
    yield from first
    yield from itertools.repeat(first[-1], len(things) - len(first))


def few(findings: Iterable[Finding]) -> Iterator[Finding]:
    """All findings, but of each code and severity no more than ten; the last of those tells how many there are."""
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.code, finding.severity), []).append(finding)
    for group in groups.values():
        yield from group[: _MOST - 1] if len(group) > _MOST else group
        if len(group) > _MOST:
            last = group[_MOST - 1]
            rest = len(group) - _MOST
            yield Finding(**{**vars(last), "message": f"{last.message} (and {rest} more like this)"})


def lengths(measured: float, limit: float) -> str:
    """A length against the limit that it does not reach."""
    return f"is {show_length(measured)}, less than {show_length(limit)}"

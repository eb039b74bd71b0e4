"""Which entry of a row is which entry of an older one: what moved is told as moved, and not as gone and new."""

from __future__ import annotations

import math
from itertools import zip_longest
from typing import Any

from bladegeom.agreement.sights import ANY, NUMBERED, PLACE
from bladegeom.agreement.state import IS

Pair = tuple[Any, Any]
"""An entry as it was and as it is; None where there is none."""


def entry_pairs(was: list[Any], now: list[Any], by: str) -> list[Pair]:
    """Entries of two rows in pairs.

    Args:
        was: The older row.
        now: The newer one.
        by: "number" of each, "place" for the nearest of the same class, "any" where their order means nothing; else
            they are taken in their order.

    >>> entry_pairs(["wet", "salt"], ["salt", "dry"], "any")
    [('wet', 'dry')]
    """
    if by == NUMBERED:
        before, after = ({entry["number"]: entry for entry in row} for row in (was, now))
        return [(before.get(number), after.get(number)) for number in sorted({*before, *after})]
    if by not in (ANY, PLACE):
        return list(zip_longest(was, now))
    old, new = _without(was, now), _without(now, was)
    pairs = _nearest(old, new) if by == PLACE else _alike(old, new)
    old, new = _without(old, [a for a, _ in pairs]), _without(new, [b for _, b in pairs])
    return [*pairs, *((a, None) for a in old), *((None, b) for b in new)]


def _without(row: list[Any], others: list[Any]) -> list[Any]:
    """A row without what stands in another; each entry there takes one away."""
    left, out = list(others), []
    for entry in row:
        if entry in left:
            left.remove(entry)
        else:
            out.append(entry)
    return out


def _nearest(old: list[Any], new: list[Any]) -> list[Pair]:
    """The nearest of one class, each once."""
    ways = sorted(
        (_apart(a, b), i, k) for i, a in enumerate(old) for k, b in enumerate(new) if kind_of(a) == kind_of(b)
    )
    met: dict[int, int] = {}
    for _, i, k in ways:
        if i not in met and k not in met.values():
            met[i] = k
    return [(old[i], new[k]) for i, k in sorted(met.items())]


def _alike(old: list[Any], new: list[Any]) -> list[Pair]:
    """Of one class, in their order."""
    pairs: list[Pair] = []
    left = list(new)
    for a in old:
        b = next((entry for entry in left if kind_of(entry) == kind_of(a)), None)
        if b is not None:
            left.remove(b)
            pairs.append((a, b))
    return pairs


def kind_of(entry: Any) -> tuple[object, ...]:
    """The class of a table, of what stands in it, and what a hole is for; of a word nothing."""
    if not isinstance(entry, dict):
        return ()
    held = entry.get("hardware")
    return entry[IS], held[IS] if isinstance(held, dict) else "", entry.get("purpose", "")


def _apart(a: Any, b: Any) -> float:
    """How far two things are from each other, mm; by their middles."""
    return math.dist(_middle(a), _middle(b))


def number_of(entry: Any, row: list[Any], by: str) -> int:
    """Which of its row an entry is, from 1 on: things with a place from front to rear, as papers number them.

    >>> number_of("salt", ["wet", "salt"], "any")
    2
    """
    ordered = sorted(row, key=lambda each: (-_middle(each)[0], _middle(each)[1])) if by == PLACE else row
    return ordered.index(entry) + 1


def _middle(entry: Any) -> tuple[float, float]:
    if "x" in entry:
        return entry["x"], entry["y"]
    start, end = entry["start"], entry["end"]
    if isinstance(start, list):
        return (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    return (start + end) / 2, 0.0

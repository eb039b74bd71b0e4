"""Words in a row, each as near to its place as the others let it be."""

from __future__ import annotations

from collections.abc import Sequence

Row = Sequence[tuple[float, float]]
"""Wanted middle and width of each word, in their order from the left, mm."""


def spread_row(row: Row, low: float, high: float, *, gap: float) -> list[float]:
    """Middles of words that neither overlap nor leave a stretch: half way between pushing all right and all left.

    Where the stretch is too short for all of them they stand out beyond its ends.

    Args:
        row: Of the words.
        low: Left end of the stretch, mm.
        high: Right end, mm.
        gap: Between two words, mm.

    >>> spread_row([(10.0, 4.0), (11.0, 4.0)], 0.0, 30.0, gap=1.0)
    [8.0, 13.0]
    """
    mirrored = [(-at, width) for at, width in reversed(row)]
    right = _pushed_right(row, low, high, gap)
    left = [-at for at in reversed(_pushed_right(mirrored, -high, -low, gap))]
    return [(a + b) / 2 for a, b in zip(right, left, strict=True)]


def _pushed_right(row: Row, low: float, high: float, gap: float) -> list[float]:
    """Each no farther left than wanted while there is room."""
    out: list[float] = []
    for i, (at, width) in enumerate(row):
        free = low + width / 2 if not out else out[-1] + (row[i - 1][1] + width) / 2 + gap
        out.append(max(at, free))
    end = high
    for i, (_, width) in reversed(list(enumerate(row))):
        out[i] = min(out[i], end - width / 2)
        end = out[i] - width / 2 - gap
    return out

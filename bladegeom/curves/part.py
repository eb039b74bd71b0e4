"""A stretch of a curve."""

from __future__ import annotations

from bladegeom.curves.curve import Curve, split


def part(curve: Curve, begin: float, end: float) -> Curve:
    """The curve from one place to another, 0 <= begin < end <= its number of pieces.

    Raises:
        CurveError: The two are one place.
    """
    i = int(begin)
    head = curve if end >= len(curve) else split(curve, end)[0]
    if begin <= 0:
        return head
    # Where both lie in one piece, what is left of that piece has places of its own.
    return split(head, begin if end >= i + 1 else i + (begin - i) / (end - i))[1]

"""Distances of the fasteners' holes from each other, measured before and after hardening."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from bladegeom.knife.knife import Knife
from bladegeom.quantities.shown import Shown, both_units, from_to
from bladegeom.quantities.units import MM_PER_INCH
from bladegeom.workshop.operation import Number


def pitches(knife: Knife, when: str) -> Iterator[Number]:
    """Blanks for the distance of each fastener's hole in the tang from the next, front to rear, as drawn.

    Without limits: a hole laid off and drilled by hand strays by some tenths of a millimetre, and nothing is made to
    this number, because the scales are drilled through the tang as it is.

    Args:
        knife: The design.
        when: They are measured.
    """
    for what, pitch in _pitches(knife):
        yield Number(what=f"{what}, {when}", value=pitch, note="centre to centre; written down as it is, no limits")


def grown_pitches(knife: Knife, growth: tuple[float, float] | None = None, source: str = "") -> Iterator[Number]:
    """Blanks for the same distances after hardening, which follow what was measured before it and not the drawing.

    Args:
        knife: The design.
        growth: Least and greatest lengthening in hardening, as a share; None where the steel has no row.
        source: Of that.
    """
    for what, pitch in _pitches(knife):
        more = "a little" if growth is None else from_to(*(_hundredths(share * pitch) for share in growth)).text
        yield Number(
            what=f"{what}, after hardening",
            source=source,
            note=f"expect {more} more than before; no limits, the hard tang leads the drill",
        )


def is_grown_pitch(number: Number) -> bool:
    """Whether a number is one of these."""
    return number.what.startswith("pitch ") and number.what.endswith(", after hardening")


def _hundredths(mm: float) -> Shown:
    """A change of a length, which calipers tell as a difference."""
    return both_units(f"{mm:z.2f} mm", f"{mm / float(MM_PER_INCH):z.3f} in")


def _pitches(knife: Knife) -> Iterator[tuple[str, float]]:
    """Each pitch by its holes' names, front to rear, mm."""
    named = sorted(zip(knife.hole_ids, knife.fasteners, strict=False), key=lambda pair: (-pair[1].x, pair[1].y))
    for (a, fastener), (b, other) in itertools.pairwise(named):
        yield f"pitch {a} to {b}", math.dist((fastener.x, fastener.y), (other.x, other.y))

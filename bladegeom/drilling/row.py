"""What one row of the drill card says."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeVar

from bladegeom.knife.grind import Flank
from bladegeom.knife.hardware.bore import Shape
from bladegeom.quantities.interval import Interval
from bladegeom.quantities.units import show_inches, show_mm

Work = Literal["tang", "right scale", "left scale", "both scales", "rods", "standoffs", "screws", "bolts", "handle"]
Piece = Literal["tang", "right liner", "left liner", "right scale", "left scale"]
Phase = Literal["before hardening", "after hardening"]
From = Literal[
    "inside face",
    "bare inside face",
    "liner's inside face",
    "outside face",
    "face on the tang",
    "rim of the screw's hole, where the cutter touches",
]

POINT_DEG: Final = 118.0
"""Included angle of a common twist drill's point. Source: common practice, no source."""

CHAMFER: Final = (0.3, 0.5)
"""Width to which the rims of holes are broken, mm. Source: common practice, no source."""


FLANKS: Final[tuple[Flank, ...]] = ("right", "left")


@dataclass(frozen=True, kw_only=True)
class Feature:
    """One bore in one piece.

    Args:
        hole: Short name of the opening that it belongs to.
        piece: Where.
        shape: Of the bore; a slot of the steel counts as a through hole.
    """

    hole: str
    piece: Piece
    shape: Shape


@dataclass(frozen=True, kw_only=True)
class CardRow:
    """One row of the drill card.

    Args:
        holes: Short names of the openings worked on; none where it is for the whole piece.
        part: Worked on.
        operation: What is done.
        tool: With which; empty where none is named.
        phase: Before hardening the steel is soft, after it is hard.
        makes: The bores that are finished by it.
        checks: Whether it only checks what somebody else has made.
        depth: That the depth stop is set to, mm; None goes through or cuts nothing.
        face: From where the depth counts: a face of the slab, what lies on the tang, or the rim of the hole.
        note: What to mind.
    """

    holes: tuple[str, ...]
    part: Work
    operation: str
    tool: str
    phase: Phase
    makes: tuple[Feature, ...] = ()
    checks: bool = False
    depth: Interval | None = None
    face: From | None = None
    note: str = ""


def point_depth(diameter: float) -> float:
    """How much deeper than its rim a twist drill's point goes, mm."""
    return diameter / 2 / math.tan(math.radians(POINT_DEG / 2))


T = TypeVar("T")
K = TypeVar("K", bound=Hashable)


def grouped(keyed: Iterable[tuple[K, T]]) -> Iterator[tuple[K, list[T]]]:
    """What has the same key together, in the order in which the keys first come."""
    groups: dict[K, list[T]] = {}
    for key, one in keyed:
        groups.setdefault(key, []).append(one)
    yield from groups.items()


def close(items: Iterable[T], numbers: Callable[[T], Sequence[float]], within: float) -> Iterator[list[T]]:
    """What nobody can tell apart together: none of a group's numbers differ by as much as that, mm, in any two."""
    groups: list[list[tuple[T, Sequence[float]]]] = []
    for one in items:
        own = numbers(one)
        alike = (
            group
            for group in groups
            if all(abs(a - b) < within for _, other in group for a, b in zip(own, other, strict=True))
        )
        found = next(alike, None)
        if found is None:
            groups.append([(one, own)])
        else:
            found.append((one, own))
    yield from ([one for one, _ in group] for group in groups)


def shown(mm: float) -> float:
    """A length to be compared, not told: what reads alike on the papers is one row, mm."""
    return round(mm, 2)


def by_name(names: Iterable[str]) -> tuple[str, ...]:
    """Short names in the order in which they are counted: F1, F2, F10, L1."""
    return tuple(sorted(names, key=lambda name: (name[0], int(name[1:]))))


def broken_rims() -> str:
    """How wide rims are broken, in words."""
    low, high = CHAMFER
    return f"break the rims {show_mm(low)} to {show_mm(high)} mm ({show_inches(low)} to {show_inches(high)} in) wide"

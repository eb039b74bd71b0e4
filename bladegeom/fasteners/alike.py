"""What is alike, told once: groups by key, groups that nobody tells apart, short names in their order."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from typing import TypeVar

T = TypeVar("T")
K = TypeVar("K", bound=Hashable)


def grouped(keyed: Iterable[tuple[K, T]]) -> Iterator[tuple[K, list[T]]]:
    """What has the same key together, in the order in which the keys first come."""
    groups: dict[K, list[T]] = {}
    for key, item in keyed:
        groups.setdefault(key, []).append(item)
    yield from groups.items()


def close(items: Iterable[T], numbers: Callable[[T], Sequence[float]], within: float) -> Iterator[list[T]]:
    """What nobody can tell apart together: none of a group's numbers differ by as much as that, mm, in any two."""
    groups: list[list[tuple[T, Sequence[float]]]] = []
    for item in items:
        own = numbers(item)
        alike = (
            group
            for group in groups
            if all(abs(a - b) < within for _, other in group for a, b in zip(own, other, strict=True))
        )
        found = next(alike, None)
        if found is None:
            groups.append([(item, own)])
        else:
            found.append((item, own))
    yield from ([item for item, _ in group] for group in groups)


def to_compare(mm: float) -> float:
    """A length to be compared, not told: what reads alike on the papers is one row, mm."""
    return round(mm, 2)


def by_name(names: Iterable[str]) -> tuple[str, ...]:
    """Short names in the order in which they are counted: F1, F2, F10, L1."""
    return tuple(sorted(names, key=lambda name: (name[0], int(name[1:]))))

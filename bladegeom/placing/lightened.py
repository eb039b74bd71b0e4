"""A knife without its lightening holes, and with those of a pattern; each pattern is searched for once."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo

Placer = Callable[[Knife], Knife]
"""Adds lightening holes."""


@memo
def unlightened(knife: Knife) -> Knife:
    """The same knife without lightening holes."""
    return dataclasses.replace(knife, holes=tuple(hole for hole in knife.holes if hole.purpose != "lightening"))


@memo
def lightened(bare: Knife, place: Placer) -> Knife:
    """A knife without lightening holes, with those of a pattern.

    Raises:
        PlacingError: The pattern finds no place.
    """
    return place(bare)

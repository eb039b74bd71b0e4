"""A knife with a pattern of lightening holes; patterns that were searched for once are kept."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from functools import lru_cache

from bladegeom.knife.hole import Opening
from bladegeom.knife.knife import Knife

Placer = Callable[[Knife], Knife]
"""Adds lightening holes."""


def lightened(bare: Knife, place: Placer) -> Knife:
    """A knife without lightening holes, with those of a pattern.

    Raises:
        PlacingError: The pattern finds no place.
    """
    # Places of holes do not hang on the profiles, and a maker's own profile need not have a hash.
    plain = dataclasses.replace(bare, outline=dataclasses.replace(bare.outline, profiles=()))
    return dataclasses.replace(bare, holes=_placed(place, plain))


@lru_cache(maxsize=16)
def _placed(place: Placer, bare: Knife) -> tuple[Opening, ...]:
    """The holes of a pattern; kept, since report, chart and sheet of one design ask for the same."""
    return place(bare).holes

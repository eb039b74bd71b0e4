"""How often a property is tried: what HYPOTHESIS_PROFILE says, or for costly ones a share of it.

The quick profile, which is the default, tries ten examples where the full one tries fifty; `long` tries two thousand.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest
from hypothesis import settings

QUICK, FULL, LONG = 10, 50, 2000
"""Examples of a property in each profile."""


def draws(full: int, *, long: int | None = None, **more: Any) -> settings:
    """Settings of a property that is tried so often in the full profile, and in proportion in others; twice at least.

    Args:
        full: Examples in the full profile.
        long: Examples in the long profile, where those in proportion are not meant.
        more: Other settings of Hypothesis.
    """
    most = settings().max_examples
    count = long if long is not None and most == LONG else max(2, round(full * most / FULL))
    return settings(max_examples=count, **more)


def quick(values: Iterable[Any], *chosen: Any) -> list[Any]:
    """All values of a parameter, of which the quick suite tries those that are chosen, and the long one the rest."""
    return quick_rows(((value,) for value in values), *((value,) for value in chosen))


def quick_rows(rows: Iterable[tuple[Any, ...]], *chosen: tuple[Any, ...]) -> list[Any]:
    """The same of several parameters together."""
    every = list(rows)
    assert set(chosen) <= set(every), "a choice that is none of the values"
    return [pytest.param(*row, marks=() if row in chosen else pytest.mark.long) for row in every]

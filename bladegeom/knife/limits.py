"""Limits that remember where they come from."""

from __future__ import annotations

import dataclasses
from dataclasses import field
from functools import cache
from typing import Any, Final

PRACTICE: Final = "common practice, no source"


def limit(default: float, source: str) -> float:
    """A field that remembers where its default comes from; typed as the number that it holds."""
    return field(default=default, metadata={"source": source})


def source_of(rules: Any, name: str) -> str:
    """Source of a limit: that of the default, or the set of the shop that changed it."""
    by_name = _fields(rules.__class__)
    own = "name" in by_name and rules.name != by_name["name"].default
    if getattr(rules, name) != by_name[name].default:
        return f"set by the shop: {rules.name}" if own else "set by the shop"
    return str(by_name[name].metadata["source"])


@cache
def _fields(kind: type) -> dict[str, dataclasses.Field[Any]]:
    """Fields of a set of rules by their names."""
    return {f.name: f for f in dataclasses.fields(kind)}

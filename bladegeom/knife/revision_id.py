"""One short name for a state of a design: the same on every sheet and file of it, another after any change."""

from __future__ import annotations

import dataclasses
import datetime
import hashlib
import re
from collections.abc import Iterator

from bladegeom.curves.curve import Curve
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo

_LETTERS = 8
"""Of the checksum: among a thousand states of one design two share a mark with a chance of one in 8,000."""

_TOLD = {"source", "confidence", "note", "also", "composition"}
"""Fields that say where a number comes from, or what else a material is called: they make no other knife."""


@memo
def revision_id(knife: Knife) -> str:
    """The maker's own revision and a checksum of everything declared, such as "B-3f2a91c4".

    Lengths count to a ten-thousandth of a millimetre, so that the same design has the same mark on other machines.
    """
    return f"{knife.revision}-{checksum(knife)}"


def checksum(value: object) -> str:
    """Eight letters that another declared value has only by a rare chance."""
    return hashlib.sha256("\n".join(_lines(value)).encode()).hexdigest()[:_LETTERS]


def revision_date(knife: Knife) -> datetime.date | None:
    """The day that the maker's own revision names, written 2026-03-01; None where it names none."""
    if not re.fullmatch(r"\d{4}-\d{2}-\d{2}", knife.revision):
        return None
    try:
        return datetime.date.fromisoformat(knife.revision)
    except ValueError:  # such as 2026-13-40: a name like any other
        return None


def _lines(value: object) -> Iterator[str]:
    """What a declared value says, one line for each number, text and kind."""
    if isinstance(value, Curve):
        yield from _lines(tuple(value.pieces.ravel().tolist()))
    elif dataclasses.is_dataclass(value):
        yield type(value).__name__
        for field in dataclasses.fields(value):
            if field.name not in _TOLD:
                yield field.name
                yield from _lines(_as_declared(field.type, getattr(value, field.name)))
    elif isinstance(value, tuple | list):
        yield f"{len(value)} of"
        for entry in value:
            yield from _lines(entry)
    else:
        yield f"{value:z.4f}" if isinstance(value, float) else repr(value)


def _as_declared(kind: object, value: object) -> object:
    """A value of a field; a whole number in a field for any number, as profiles hold it, is the same size."""
    if kind in ("float", float) and isinstance(value, int) and not isinstance(value, bool):
        return float(value)
    return value

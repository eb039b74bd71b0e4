"""Screw threads by the names a shop uses, each with its source.

The rows stand in ``data/threads.csv``; ``data/README.md`` says what their confidence means. A *size* is a thread's
name without its pitch: ``"#6"``, ``"1/4"``, ``"M4"``. Clearance holes and heads go by size.
"""

from __future__ import annotations

import re
from collections import defaultdict
from functools import cache
from typing import Annotated, Final

from bladegeom.quantities.declared import checked, declared
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.field_rules import KnownWord, Length, Like
from bladegeom.quantities.rows import table_rows
from bladegeom.quantities.units import length

THREAD_SYSTEMS: Final = ("inch", "metric")
_SIZE: Final = re.compile(r"#[0-9]+|[0-9]+/[0-9]+|m[0-9]+(?:\.[0-9]+)?")


@declared("thread", example='"#6-32"', slots=True)
class Thread:
    """A screw thread, lengths in mm; a shop may bring its own.

    Args:
        name: Size and pitch, ``"#6-32"``, ``"1/4-20"`` or ``"M4x0.7"``.
        system: One of :data:`THREAD_SYSTEMS`.
        major: Basic major diameter.
        pitch: From one turn to the next.
        minor: Basic minor diameter D1 of the internal thread, less than ``major``.
        source: Where the numbers come from.
        confidence: ``"high"``, ``"medium"`` or ``"low"``.

    >>> from bladegeom import thread
    >>> thread("M4").name
    'M4x0.7'
    """

    name: str
    system: Annotated[str, KnownWord("thread system", THREAD_SYSTEMS)]
    major: Length
    pitch: Length
    minor: Length
    source: str
    confidence: str

    def __post_init__(self) -> None:
        if not self.minor < self.major:
            must = f"be less than the major diameter, {self.major:g} mm"
            raise ParameterError("thread: minor", f"{self.minor:g} mm", must)

    @property
    def size(self) -> str:
        """The name without the pitch: ``"#6"``, ``"1/4"``, ``"M4"``."""
        return _sizes().get(self.name) or _shown_size(_key(self.name))


def thread(name: str | Thread) -> Thread:
    """The thread of that name; case, spaces, and the # of a numbered size do not matter.

    Args:
        name: ``"#6-32"``, ``"6-32"``, ``"1/4-20"``, ``"M4x0.7"``, or ``"M4"`` for the coarse pitch; or a Thread,
            which is handed back as it is.

    Raises:
        ParameterError: It is no name.
        UnknownNameError: No row has that name, or it is a size that comes with two pitches.

    >>> thread("m4").name, thread("6-32").major
    ('M4x0.7', 3.5052)
    """
    if isinstance(name, Thread):
        return name
    checked("thread: name", name, Annotated[str, Like('"#6-32"')])
    key = _key(name)
    of_size = _threads_by_size().get(key, ())
    found = of_size[0] if len(of_size) == 1 else _threads_by_key().get(key)
    if found is None:
        raise UnknownNameError("thread", name, (known.name for known in of_size or threads()))
    return found


@cache
def threads(system: str | None = None) -> tuple[Thread, ...]:
    """The threads of one of :data:`THREAD_SYSTEMS`, or all; thinnest first.

    Raises:
        UnknownNameError: No such system.
    """
    if system is not None and system not in THREAD_SYSTEMS:
        raise UnknownNameError("thread system", system, THREAD_SYSTEMS)
    return tuple(
        Thread(
            name=row["name"],
            system=row["system"],
            major=length(row["major"]),
            pitch=length(row["pitch"]),
            minor=length(row["minor"]),
            source=row["source"],
            confidence=row["confidence"],
        )
        for row in table_rows("threads.csv")
        if system in (None, row["system"])
    )


def thread_size(name: str | Thread) -> str:
    """The size in a thread's name; a size alone is taken even where no thread of it is in the table.

    Raises:
        UnknownNameError: Neither a size nor a known thread.

    >>> thread_size("10-24"), thread_size("m8")
    ('#10', 'M8')
    """
    if isinstance(name, str) and _SIZE.fullmatch(_key(name)):
        return _shown_size(_key(name))
    return thread(name).size


@cache
def _sizes() -> dict[str, str]:
    """The size of each thread in the table, by its name."""
    return {row.name: _shown_size(_key(row.name)) for row in threads()}


@cache
def _threads_by_key() -> dict[str, Thread]:
    return {_key(row.name): row for row in threads()}


@cache
def _threads_by_size() -> dict[str, tuple[Thread, ...]]:
    by_size: defaultdict[str, tuple[Thread, ...]] = defaultdict(tuple)
    for row in threads():
        by_size[_key(row.size)] += (row,)
    return dict(by_size)


def _key(name: str) -> str:
    """Lower case, without spaces; with the # of a numbered size, and without zeros after the pitch."""
    text = re.sub(r"\s", "", name.lower()).replace("\N{MULTIPLICATION SIGN}", "x")
    text = re.sub(r"(x[0-9]*\.[0-9]*?)0+$", r"\1", text).removesuffix(".")
    return "#" + text if re.match(r"[0-9]+-", text) else text


def _shown_size(key: str) -> str:
    return re.split("[-x]", key)[0].replace("m", "M")

"""What cutting processes can do: limits by process, each row with its source.

The rows stand in ``data/cutting_processes.csv``; ``data/README.md`` says what their confidence means.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.rows import table_rows
from bladegeom.quantities.told import told
from bladegeom.quantities.units import length

_WORDS = {"yes": True, "no": False}


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcessLimit:
    """One limit of one process.

    Args:
        name: Of the limit, as ``Process`` calls it.
        value: mm; a plain factor where the name says "per thickness"; True or False where it begins with "can".
        source: Where it comes from.
        confidence: ``"high"``, ``"medium"`` or ``"low"``.
        note: What else is to be known.
    """

    name: str
    value: float
    source: str
    confidence: str
    note: str = ""


@cache
def process_limits() -> dict[str, dict[str, ProcessLimit]]:
    """All limits by process and name, in the order of the table."""
    out: dict[str, dict[str, ProcessLimit]] = {}
    for row in table_rows("cutting_processes.csv"):
        limit = ProcessLimit(
            name=row["limit"],
            value=_value(row["limit"], row["value"]),
            source=row["source"],
            confidence=row["confidence"],
            note=row["note"],
        )
        out.setdefault(row["process"], {})[limit.name] = limit
    return out


def process_named(name: str) -> tuple[str, dict[str, ProcessLimit]]:
    """A process by its name as the table writes it, and its limits; case, spaces and hyphens do not matter.

    Raises:
        ParameterError: It is no text.
        UnknownNameError: No row has that name.

    >>> process_named("Wire-EDM")[0]
    'wire EDM'
    """
    if not isinstance(name, str):
        raise ParameterError("process", name, "be a name in quotes, such as 'laser'", shown=told(name))
    known = {_key(process): process for process in process_limits()}
    if _key(name) not in known:
        raise UnknownNameError("cutting process", name, process_limits())
    found = known[_key(name)]
    return found, process_limits()[found]


def _value(limit: str, text: str) -> float:
    if limit.startswith("can_"):
        return _WORDS[text]
    return float(text) if limit.endswith("per_thickness") else length(text)


def _key(name: str) -> str:
    return "".join(c for c in str(name).lower() if c.isalnum())

"""What of a knife, an order and the work a customer can see: one row for each declared field, with its reason.

The table is ``quantities/data/what_shows.csv``. A field that no row knows, as of a class of the maker's own, counts as
seen.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Final, Literal, cast, get_args

from bladegeom.quantities.rows import table_rows
from bladegeom.studies.field_words import field_name

Shows = Literal["seen", "bare", "stations", "line", "numbers", "inside", "unseen"]
"""Whether it shows: always; where no scale covers it; as a thickness along the knife; as a line; by the numbers in its
words; by its own fields; or never."""

Kind = Literal["shape", "length", "finish", "material", "mark", "texture", "hardware", "weight", "order", "price"]
"""Of what is agreed; each is a code of findings, which can be allowed by itself."""

KINDS: Final[tuple[Kind, ...]] = get_args(Kind)
SHOWS: Final[tuple[Shows, ...]] = get_args(Shows)

NUMBERED: Final = "number"
ANY: Final = "any"
PLACE: Final = "place"
"""How entries of a row are set beside each other: by number, alike ones first, or the nearest ones; else in order."""


@dataclass(frozen=True, kw_only=True)
class Sight:
    """A row of the table: one field of one class.

    Args:
        of: Name of the class.
        field: Of it.
        shows: Whether a customer sees it.
        kind: Of what is agreed.
        within: What differs by less, nobody sees; in ``unit``, or as a share of the value.
        is_share: Whether ``within`` is such a share.
        unit: Of the numbers; empty where they have none.
        matched: How entries of a row are set beside each other.
        asked: Measures, features and parts by which an order asks for it.
        words: What a customer calls it; empty where what it stands in says enough.
        why: The reason, or the source of ``within``.
    """

    of: str
    field: str
    shows: Shows
    kind: Kind
    within: float = 0.0
    is_share: bool = False
    unit: str = ""
    matched: str = ""
    asked: frozenset[str] = frozenset()
    words: str = ""
    why: str = ""


def sight_of(of: str, field: str) -> Sight:
    """The row of a field; of one that no row knows, that it is seen.

    >>> sight_of("Stock", "thickness").shows, sight_of("Scales", "sanding").shows, sight_of("OwnBevel", "depth").shows
    ('seen', 'unseen', 'inside')
    """
    known = sights().get((of, field))
    if known is not None:
        return known
    return Sight(of=of, field=field, shows="inside", kind="shape", words=field_name(field), why="not in the table")


@cache
def sights() -> Mapping[tuple[str, str], Sight]:
    """All rows by class and field."""
    rows: dict[tuple[str, str], Sight] = {}
    for row in table_rows("what_shows.csv"):
        within, is_share, unit = _within(row["within"])
        for field in row["fields"].split():
            rows[row["of"], field] = Sight(
                of=row["of"],
                field=field,
                shows=cast(Shows, row["shows"]),
                kind=cast(Kind, row["kind"]),
                within=within,
                is_share=is_share,
                unit=unit,
                matched=row["matched"],
                asked=frozenset(filter(None, row["asked"].split(";"))),
                words="" if row["words"] == "-" else row["words"] or field_name(field),
                why=row["source"],
            )
    return MappingProxyType(rows)


@cache
def shown_fields(of: str) -> tuple[Sight, ...]:
    """The rows of a class that are not hidden, as they stand in the table."""
    return tuple(row for row in sights().values() if row.of == of and row.shows != "unseen")


def _within(text: str) -> tuple[float, bool, str]:
    """From "0.1 mm", "2 % g" or "0.05": the number, whether it is a share, the unit."""
    if not text:
        return 0.0, False, ""
    number, *rest = text.split()
    is_share = rest[:1] == ["%"]
    return float(number) / (100 if is_share else 1), is_share, " ".join(rest[is_share:])

"""Paper sizes by name, each with its source."""

from __future__ import annotations

import re
from functools import cache
from typing import Annotated

from bladegeom.quantities.declared import checked, declared
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.field_rules import Length, Like
from bladegeom.quantities.rows import table_rows


@declared("paper", example='paper("A4")', slots=True)
class Paper:
    """A sheet held upright; width and height in mm.

    >>> letter = paper("Letter")
    >>> letter.width, letter.height
    (215.9, 279.4)
    """

    name: str
    width: Length
    height: Length
    source: str

    def __post_init__(self) -> None:
        if self.width > self.height:
            raise ParameterError("paper: width", f"{self.width:g} mm", f"be at most the height, {self.height:g} mm")


def paper(name: str) -> Paper:
    """The paper size of that name, upright; case and spaces do not matter.

    Raises:
        ParameterError: It is no name.
        UnknownNameError: No row has that name.

    >>> paper("a4").width, paper("Letter").height
    (210.0, 279.4)
    """
    checked("paper: name", name, Annotated[str, Like('"A4"')])
    found = _papers_by_key().get(_key(name))
    if found is None:
        raise UnknownNameError("paper", name, (known.name for known in _papers_by_key().values()))
    return found


@cache
def _papers_by_key() -> dict[str, Paper]:
    return {
        _key(row["name"]): Paper(
            name=row["name"], width=float(row["width"]), height=float(row["height"]), source=row["source"]
        )
        for row in table_rows("papers.csv")
    }


def _key(name: str) -> str:
    """Lower case, without spaces and hyphens."""
    return re.sub(r"[\s-]", "", name.lower())

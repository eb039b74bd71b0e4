"""Pages that are printed together, and the papers that they go on."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Annotated, Final

from bladegeom.drawing.drawing import Sheet
from bladegeom.drawing.printer import Printer
from bladegeom.quantities.declared import checked
from bladegeom.quantities.field_rules import Items, Like
from bladegeom.quantities.papers import Paper, paper

_USUAL: Final = (("A4", "A3"), ("Letter", "Tabloid"))
"""Each a paper that every printer takes, then a larger one for what does not fit on it."""


@dataclass(frozen=True, kw_only=True)
class Printed:
    """Pages of one file.

    Args:
        name: Of the file behind the knife's name, such as "grind_A4".
        sheets: In the order in which they are used.
        single: Those that are handed out one by one as well, by the end of their name.
    """

    name: str
    sheets: tuple[Sheet, ...]
    single: Mapping[str, Sheet] = field(default_factory=dict)

    def corrected(self, printer: Printer) -> Printed:
        """Drawn against the error of one printer."""
        return dataclasses.replace(
            self,
            sheets=tuple(map(printer.corrected, self.sheets)),
            single={end: printer.corrected(sheet) for end, sheet in self.single.items()},
        )


def paper_choice(names: Sequence[str]) -> tuple[Paper, ...]:
    """Papers to choose from, the preferred one first.

    Raises:
        ParameterError: They are no tuple or list of names, or there is none.
        UnknownNameError: No such paper.
    """
    names = checked("papers", names, Annotated[tuple[str, ...], Items(least=1)])
    return tuple(paper(name) for name in names)


def paper_sets(names: Sequence[str] | None = None) -> tuple[tuple[Paper, ...], ...]:
    """The papers to print on, each set with the preferred one first.

    Args:
        names: Each is a set of its own; None takes A4 with A3, and Letter with Tabloid, for what does not fit.

    Raises:
        ParameterError: They are no tuple or list of names.
        UnknownNameError: No such paper.
    """
    if names is None:
        return tuple(tuple(paper(name) for name in group) for group in _USUAL)
    names = checked("papers", names, Annotated[tuple[str, ...], Like('("A4",), with its comma')])
    return tuple((paper(name),) for name in names)

"""Pages that are printed together, and the papers that they go on."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Annotated, Final

from bladegeom.book.page_numbers import numbered_pages
from bladegeom.drawing.drawing import Sheet
from bladegeom.drawing.printer import Printer
from bladegeom.quantities.declared import checked
from bladegeom.quantities.field_rules import Items, Like
from bladegeom.quantities.papers import Paper, paper

_LARGER: Final = {"A4": "A3", "Letter": "Tabloid"}
"""Papers that every printer takes, each with the larger one of its family for what does not fit on it."""


@dataclass(frozen=True, kw_only=True)
class Printed:
    """Pages of one file.

    Args:
        name: Of the file behind the knife's name, such as "grind_A4".
        sheets: In the order in which they are used.
        single: Those that are handed out one by one as well, by the names of their files, without a number.
        chapters: What begins on which page, counted from 0, in order.
    """

    name: str
    sheets: tuple[Sheet, ...]
    single: Mapping[str, Sheet] = field(default_factory=dict)
    chapters: tuple[tuple[str, int], ...] = ()

    def numbered(self, name: str, mark: str) -> Printed:
        """Each page with the knife's name, the mark of the revision and its number.

        Raises:
            ExportError: A page has no room for them.
        """
        return dataclasses.replace(self, sheets=numbered_pages(self.sheets, mark, name=name))

    def corrected(self, printer: Printer) -> Printed:
        """Drawn against the error of one printer."""
        return dataclasses.replace(
            self,
            sheets=tuple(map(printer.corrected, self.sheets)),
            single={end: printer.corrected(sheet) for end, sheet in self.single.items()},
        )


def paper_family(name: str) -> tuple[Paper, ...]:
    """A paper, and the larger one of its family for what does not fit on it.

    Raises:
        ParameterError: It is no name.
        UnknownNameError: No such paper.

    >>> [each.name for each in paper_family("Letter")]
    ['Letter', 'Tabloid']
    """
    first = paper(name)
    return (first, paper(_LARGER[first.name])) if first.name in _LARGER else (first,)


def paper_choice(names: Sequence[str] | None, usual: str) -> tuple[Paper, ...]:
    """Papers to choose from, the preferred one first.

    Args:
        names: Of them; None takes those of the family of the usual one.
        usual: What the settings name.

    Raises:
        ParameterError: They are no tuple or list of names, or there is none.
        UnknownNameError: No such paper.
    """
    if names is None:
        return paper_family(usual)
    names = checked("papers", names, Annotated[tuple[str, ...], Items(least=1)])
    return tuple(paper(name) for name in names)


def paper_sets(names: Sequence[str] | None, usual: str) -> tuple[tuple[Paper, ...], ...]:
    """The papers to print on: a set for each name, which is preferred in it.

    Args:
        names: Of papers; None takes the usual one.
        usual: What the settings name.

    Raises:
        ParameterError: They are no tuple or list of names.
        UnknownNameError: No such paper.
    """
    chosen = (usual,) if names is None else names
    return tuple(
        map(paper_family, checked("papers", chosen, Annotated[tuple[str, ...], Like('("A4",), with its comma')]))
    )

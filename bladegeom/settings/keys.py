"""The keys of the settings: every field of :class:`Settings`, and of the rules in it, with what it means and may be."""

from __future__ import annotations

import dataclasses
import re
import typing
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from bladegeom.knife.handle_rules import HandleRules, Tolerances
from bladegeom.knife.rules import HoleRules, Shop
from bladegeom.quantities.declared import checked
from bladegeom.quantities.docstrings import said_of
from bladegeom.quantities.edge_distances import edge_tables
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import InUnit
from bladegeom.settings.settings import Settings

_GROUPS: Final = (HoleRules, HandleRules, Shop, Tolerances)
"""Kinds of values that have keys of their own."""

_NO_KEYS: Final = ("sources",)

ALLOWED: Final = {
    "paper": "the name of a paper: A4, A3, Letter, Legal, Tabloid ...",
    "printer": "a text of two lengths, across x along, such as '99.6 x 100.2'",
    "price_list": "the name of a TOML file, or of a price list in the stockroom",
    "stockroom": "the name of a folder",
    "hole_rules.edge_table": f"a published table: {', '.join(edge_tables())}",
    "shop.process": "a cutting process: waterjet, laser or wire EDM",
    "shop.contact_wheels": "a list of diameters, such as [25.4, '10 in']",
    "shop.drills": "fractional, number, letter or metric, or a list of these and of drills: ['letter', '6.5 mm']",
    "shop.lightening_sizes": "the same; left out, the fractions among the drills",
}
"""What may stand in a file where it is read otherwise than Python writes it."""


@dataclass(frozen=True)
class Key:
    """One setting.

    Args:
        name: Such as "shop.process".
        kind: What its value may be, as its field is annotated.
        meaning: In words.
    """

    name: str
    kind: Any
    meaning: str

    @property
    def group(self) -> str:
        """The table that it stands in; empty for those right under [bladegeom]."""
        return self.name.rpartition(".")[0]

    @property
    def is_length(self) -> bool:
        """Whether it holds mm, or a row of them."""
        return InUnit("mm") in list(_rules(self.kind))

    @property
    def may_be_none(self) -> bool:
        """Whether it may be nothing at all."""
        return type(None) in typing.get_args(self.kind)

    @property
    def allowed(self) -> str:
        """What it may be: the words with which anything else is refused."""
        if self.name in ALLOWED:
            return ALLOWED[self.name]
        try:
            checked(self.name, object(), self.kind)
        except ParameterError as refused:
            return refused.must.removeprefix("be ").partition(", not a text")[0]
        raise TypeError(f"the setting {self.name} takes anything: give its field a kind")


@cache
def keys() -> dict[str, Key]:
    """All settings by name, in the order in which they are told.

    >>> keys()["hole_rules.rim"].meaning, keys()["units"].allowed
    ('Steel between a hole and the outline, mm.', "'mm' or 'inch'")
    """
    return {key.name: key for key in _keys(Settings, "")}


@cache
def groups() -> tuple[str, ...]:
    """The tables under [bladegeom], such as "shop.tolerances"."""
    return tuple(dict.fromkeys(key.group for key in keys().values() if key.group))


def _keys(kind: type, group: str) -> Iterator[Key]:
    hints, meanings = typing.get_type_hints(kind, include_extras=True), meanings_of(kind)
    for each in dataclasses.fields(kind):
        name, hint = group + each.name, hints[each.name]
        if hint in _GROUPS:
            yield from _keys(hint, f"{name}.")
        elif each.name not in _NO_KEYS:
            yield Key(name, hint, meanings[each.name])


def meanings_of(kind: type) -> dict[str, str]:
    """What each field means, from the docstring of its class."""
    told = said_of(kind).partition("\nArgs:\n")[2]
    told = re.split(r"\n\n(?=\S)", told)[0]
    entries = re.findall(r"^    (\w+): (.*(?:\n {8}.*)*)", told, re.MULTILINE)
    return {name: " ".join(text.replace("``", "").split()) for name, text in entries}


def _rules(kind: Any) -> Iterator[object]:
    """All rules of an annotation, however deep."""
    if typing.get_origin(kind) is typing.Annotated:
        yield from kind.__metadata__
        yield from _rules(kind.__origin__)
    for part in typing.get_args(kind):
        yield from _rules(part)

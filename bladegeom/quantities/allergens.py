"""Which materials hold what people are allergic to, by families: the rows stand in ``data/allergens.csv``."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Final

from bladegeom.quantities.designations import designation_key
from bladegeom.quantities.materials import Material, materials, row_name
from bladegeom.quantities.rows import table_rows

_SAYS_NOTHING: Final = frozenset(
    {"a", "all", "allergic", "allergy", "an", "and", "any", "kind", "my", "of", "or", "the", "to"}
)
_CLASSES: Final = frozenset({"alloy", "dust", "material", "metal", "product", "wood"})
"""Words that name a family only where they stand alone: olive wood is no other wood."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Allergen:
    """A family of materials that holds an allergen.

    Args:
        words: By any of which the allergen is called.
        by: What ``names`` are: an ``"element"`` of alloys, a ``"name"`` of materials, a ``"kind"`` of them, or the
            ``"genus"`` of woods.
        names: Of the family.
        source: Of the row.
        confidence: ``"high"``, ``"medium"`` or ``"low"``.
        note: What the materials are.
    """

    words: tuple[str, ...]
    by: str
    names: tuple[str, ...]
    source: str
    confidence: str
    note: str

    def holds(self, of: Material) -> str:
        """What of a material makes it one of the family; empty where nothing does."""
        if self.by == "element":
            share = next((most for name in self.names if (most := _content(of, name)[1])), 0.0)
            return f"{self.note}, up to {share:g} %" if share else ""
        told = {"name": of.name, "kind": of.kind, "genus": of.name.partition(" ")[0]}[self.by]
        return self.note if designation_key(told) in {designation_key(name) for name in self.names} else ""


def _content(of: Material, element: str) -> tuple[float, float]:
    """Least and greatest per cent; of an alloy that tells no composition by the row that its name means."""
    row = next((material for material in materials() if material.name == row_name(of.name)), of)
    return (of if of.composition else row).content(element)


@cache
def allergens() -> tuple[Allergen, ...]:
    """All rows of the table."""
    return tuple(
        Allergen(
            words=tuple(row["words"].split()),
            by=row["by"],
            names=tuple(row["names"].split(";")),
            source=row["source"],
            confidence=row["confidence"],
            note=row["note"],
        )
        for row in table_rows("allergens.csv")
    )


def allergen_in(allergy: str, of: Material) -> tuple[str, str] | None:
    """What a material has to do with an allergy, and the source of that; None if nothing is known.

    Args:
        allergy: In the customer's words, such as ``"nickel"``, ``"buffalo horn"``, ``"tropical woods"``.
        of: The material.

    >>> from bladegeom.quantities.materials import material
    >>> allergen_in("nickel", material("304"))[0], allergen_in("olive wood", material("Juglans nigra"))
    ('nickel, up to 10.5 %', None)
    """
    for row in _families(allergy):
        if what := row.holds(of):
            return what, row.source
    return (of.note or of.kind, "the table of materials") if names_allergen(allergy, _told(of)) else None


def names_allergen(allergy: str, text: str) -> bool:
    """Whether a text names what an allergy is to, by any word of its family, and not as what is left out of it."""
    told, words = set(_split(_without_negations(text))), _words(allergy)
    families = (word for row in _families(allergy) for word in row.words)
    return bool(words) and (words <= told or any(_stem(word) in told for word in families))


def is_known_allergy(allergy: str) -> bool:
    """Whether any row or any material of the tables has to do with an allergy."""
    return bool(_families(allergy)) or any(names_allergen(allergy, _told(of)) for of in materials())


def _families(allergy: str) -> tuple[Allergen, ...]:
    words = _words(allergy)
    return tuple(row for row in allergens() if any(_stem(word) in words for word in row.words))


def _told(of: Material) -> str:
    return f"{of.name} {of.note} {of.kind} {' '.join(of.also)}"


def _words(allergy: str) -> set[str]:
    words = {word for word in _split(allergy) if word not in _SAYS_NOTHING}
    return words - _CLASSES or words


def _split(text: str) -> Iterator[str]:
    return (_stem(word) for word in re.findall(r"[a-z0-9.]+", text.lower()))


def _stem(word: str) -> str:
    return word.lower().rstrip(".").removesuffix("s")


def _without_negations(text: str) -> str:
    return re.sub(r"\b\w+[ -]free\b|\b(?:no|without|free (?:of|from)) \w+", " ", text.lower())

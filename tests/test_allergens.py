"""Families of materials by what they hold, against published compositions; and words that mean something else."""

from __future__ import annotations

import pytest

from bladegeom.quantities.allergens import allergen_in, allergens, is_known_allergy, names_allergen
from bladegeom.quantities.materials import Material, material, materials


def own(name: str, kind: str = "metal", note: str = "") -> Material:
    return Material(
        name=name, kind=kind, density_g_cm3=8.0, low=7.9, high=8.1, source="invented", confidence="low", note=note
    )


def held(allergy: str, of: Material) -> bool:
    return allergen_in(allergy, of) is not None


def test_every_row_says_where_it_comes_from() -> None:
    for row in allergens():
        assert row.source
        assert row.note
        assert row.confidence in ("high", "medium", "low")
        assert row.by in ("name", "kind", "genus", "element")
        assert all(row.names)
        assert all(row.words)


# Nickel, weight %: ASTM A240 and EN 10088-1 for stainless steels, ASTM B122 for C75200, B16 for C36000; from memory.
@pytest.mark.parametrize(
    ("name", "nickel"),
    [
        ("304", True),
        ("AISI 304", True),
        ("EN 1.4301", True),
        ("316", True),
        ("C75200", True),
        ("75Ni8", True),
        ("1.4404", True),
        ("C77000", True),
        ("1.4542", True),
        ("1.4310", True),
        ("440C", False),
        ("1.4116", False),
        ("1.4034", False),
        ("O1", False),
        ("C26000", False),
        ("C36000", False),
        ("Ti-6Al-4V", False),
    ],
)
def test_nickel(name: str, *, nickel: bool) -> None:
    assert held("nickel", own(name)) is nickel


@pytest.mark.parametrize("allergy", ["horn", "buffalo horn", "deer antler", "bone", "any animal material"])
def test_horn_of_any_animal(allergy: str) -> None:
    found = {row.name for row in materials() if held(allergy, row)}
    assert {row.name for row in materials() if row.kind == "horn-bone"} == found
    assert held(allergy, own("ram", kind="horn-bone"))


def test_woods_by_genus_and_alone() -> None:
    tropical = {row.name.partition(" ")[0] for row in materials() if held("tropical woods", row)}
    assert {"Dalbergia", "Diospyros", "Tectona", "Handroanthus"} <= tropical
    assert not {"Juglans", "Acer", "Quercus", "Fagus"} & tropical
    assert all(held("wood dust", row) for row in materials() if row.kind == "wood")
    # A name before the word is one wood, and its colour is another's too.
    assert not held("olive wood", material("Juglans nigra"))
    assert held("black walnut", material("Juglans nigra"))
    assert not held("black walnut", material("Acer nigrum"))
    assert held("cocobolo", material("Dalbergia latifolia"))


@pytest.mark.parametrize("text", ["nickel-free brass", "brass without nickel", "no nickel in it", "brass"])
def test_what_is_left_out_is_not_held(text: str) -> None:
    assert not names_allergen("nickel", text)
    assert not held("nickel", own("rod", note=text))


def test_an_allergy_that_no_table_knows() -> None:
    assert is_known_allergy("Nickel")
    assert is_known_allergy("walnut")
    assert not is_known_allergy("nickle")
    assert not is_known_allergy("cats")

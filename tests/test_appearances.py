"""Every material has colours and a grain that stand for it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bladegeom.quantities.appearances import appearance_of, colour_of
from bladegeom.quantities.designations import designation_key
from bladegeom.quantities.materials import MATERIAL_KINDS, Material, material, materials
from bladegeom.quantities.rows import table_rows

ROWS = table_rows("appearances.csv")


def luminance(of: str) -> float:
    """Relative, by Rec. 709 without its curve."""
    red, green, blue = colour_of(material(of))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("of", materials(), ids=lambda of: of.name)
def test_every_material_has_an_appearance(of: Material) -> None:
    look = appearance_of(of)
    assert 0 <= look.gloss <= 1
    assert look.spacing > 0
    assert look.metal == (of.kind in ("steel", "metal"))


@pytest.mark.parametrize("kind", MATERIAL_KINDS)
def test_an_own_material_falls_to_its_kind(kind: str) -> None:
    own = replace(material("1084"), name="shop's best", kind=kind, also=())
    row = next(row for row in ROWS if row["by"] == "kind" and row["names"] == kind)
    assert "#{:02x}{:02x}{:02x}".format(*colour_of(own)) == row["colour"]


def test_an_own_material_looks_like_what_its_name_says() -> None:
    own = replace(material("acetal"), name="black rubber, 60 Shore", also=())
    assert appearance_of(own).gloss < appearance_of(material("acetal")).gloss


def test_each_row_of_a_name_is_a_material_or_a_word() -> None:
    known = {designation_key(called) for of in materials() for called in (of.name, *of.also)}
    names = [name for row in ROWS if row["by"] == "name" for name in row["names"].split(";")]
    assert len(names) == len(set(names))
    assert all(designation_key(name) in known or name.isalpha() for name in names)


def test_all_rows_say_that_they_are_a_choice() -> None:
    assert {(row["source"], row["confidence"]) for row in ROWS} == {("own choice by eye", "low")}


def test_dark_and_light_woods_are_told_apart() -> None:
    assert luminance("ebony") < luminance("Juglans nigra") < luminance("Prunus avium") < luminance("Acer saccharum")


@pytest.mark.parametrize("row", [row for row in ROWS if row["grain"] == "rings"], ids=lambda row: row["names"])
def test_the_lines_of_year_rings_are_the_darker_wood_but_in_black_woods(row: dict[str, str]) -> None:
    """Late wood is denser and darker. Source: from memory, common knowledge of wood; black ones by eye."""
    ground, lines = (sum(bytes.fromhex(row[name].removeprefix("#"))) for name in ("colour", "grain_colour"))
    black = ground < 3 * 48
    assert (lines < ground) != (black and row["names"].split(";")[-1] in ("ebony", "blackwood"))

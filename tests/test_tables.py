from __future__ import annotations

import math
import re
import subprocess
import sys
from collections import Counter
from dataclasses import FrozenInstanceError, replace
from fractions import Fraction
from itertools import pairwise
from string import ascii_uppercase

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.quantities.drills import DRILL_SERIES, Drill, drill, drill_index, drills
from bladegeom.quantities.errors import ParameterError, QuantityError, UnknownNameError
from bladegeom.quantities.materials import MATERIAL_KINDS, Material, material, materials
from bladegeom.quantities.papers import Paper, paper
from bladegeom.quantities.rows import table_rows
from bladegeom.quantities.units import inch, length

CONFIDENCE = {"high", "medium", "low"}
PAPERS = ("A0", "A1", "A2", "A3", "A4", "A5", "Letter", "Legal", "Tabloid", "ANSI C", "ANSI D", "ANSI E")

# ASME B94.11M number sizes #1 to #80, inch, as every printed drill chart repeats them.
NUMBER_SIZES = """
    .2280 .2210 .2130 .2090 .2055 .2040 .2010 .1990 .1960 .1935
    .1910 .1890 .1850 .1820 .1800 .1770 .1730 .1695 .1660 .1610
    .1590 .1570 .1540 .1520 .1495 .1470 .1440 .1405 .1360 .1285
    .1200 .1160 .1130 .1110 .1100 .1065 .1040 .1015 .0995 .0980
    .0960 .0935 .0890 .0860 .0820 .0810 .0785 .0760 .0730 .0700
    .0670 .0635 .0595 .0550 .0520 .0465 .0430 .0420 .0410 .0400
    .0390 .0380 .0370 .0360 .0350 .0330 .0320 .0310 .0292 .0280
    .0260 .0250 .0240 .0225 .0210 .0200 .0180 .0160 .0145 .0135
"""

# ASME B94.11M letter sizes A to Z, inch.
LETTER_SIZES = """
    .234 .238 .242 .246 .250 .257 .261 .266 .272 .277 .281 .290 .295
    .302 .316 .323 .332 .339 .348 .358 .368 .377 .386 .397 .404 .413
"""


def own_material(density_g_cm3: float = 7.8, low: float = 7.7, high: float = 7.9, kind: str = "steel") -> Material:
    return Material(
        name="shop steel",
        kind=kind,
        density_g_cm3=density_g_cm3,
        low=low,
        high=high,
        source="weighed and measured",
        confidence="medium",
    )


# Materials


@pytest.mark.parametrize(
    ("name", "density"),
    [
        ("1084", 7.85),
        ("D2", 7.70),  # producers' data sheets, 7.695 and 7.70: lighter than plain steel
        ("1.4116", 7.70),  # EN 10088-1, Annex A
        ("6061", 2.70),
        ("C36000", 8.50),
        ("Ti-6Al-4V", 4.43),
        ("G-10", 1.80),
        ("NEMA C", 1.35),
        ("NEMA X", 1.36),
        ("NEMA XXX", 1.32),
        ("Dalbergia latifolia", 0.849),  # Wood Handbook, ch. 2
        ("Juglans nigra", 0.616),  # Wood Handbook, table 5-3b: G = 0.55, times 1.12 at 12 % moisture
        ("Prunus serotina", 0.560),  # Wood Handbook, table 5-3: G = 0.50
    ],
)
def test_published_densities(name: str, density: float) -> None:
    assert material(name).density_g_cm3 == density


def test_wood_is_heavier_than_its_specific_gravity_by_its_moisture() -> None:
    # Wood Handbook eq. 4-9, worked example: G = 0.40 at 12 % moisture is 448 kg/m3; walnut has G = 0.55.
    assert material("Juglans nigra").density_g_cm3 / 0.55 == pytest.approx(0.448 / 0.40)


def test_density_of_a_plain_bar() -> None:
    # Closed form: 200 x 30 x 4 mm at 7850 kg/m3 weighs 188.4 g.
    assert 200 * 30 * 4 / 1000 * material("1095").density_g_cm3 == pytest.approx(188.4, rel=1e-12)


def test_what_is_from_memory_alone_is_of_low_confidence() -> None:
    """Our own rule (data/README.md); a second source stands behind a semicolon."""
    told = [(row.name, row.source, row.confidence) for row in materials()]
    told += [
        (f"{row['steel']} {row['property']}", row["source"], row["confidence"]) for row in table_rows("heat_treat.csv")
    ]
    for name, source, confidence in told:
        own = re.sub(r"^G = .*? moisture: |; density = .*$", "", source)
        if own.startswith("from memory") and ";" not in own:
            assert confidence == "low", name


def test_every_material_row_is_complete() -> None:
    for row in materials():
        assert row.kind in MATERIAL_KINDS
        assert row.low <= row.density_g_cm3 <= row.high
        assert 0.3 < row.density_g_cm3 < 12.0  # from balsa-like woods to lead: catches kg/m3
        assert row.confidence in CONFIDENCE
        assert row.source
        assert material(row.name) is row


def test_every_kind_has_a_material_and_every_name_is_its_own() -> None:
    assert {row.kind for row in materials()} == set(MATERIAL_KINDS)
    assert len({material(row.name).name for row in materials()}) == len(materials())


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("AISI 1084", "1084"),
        ("aisi o1", "O1"),
        ("EN 1.4116", "1.4116"),
        ("EN-1.4034", "1.4034"),
        ("NEMA G-10", "G-10"),
        ("g10", "G-10"),
        ("nema c", "NEMA C"),
        ("CE", "NEMA CE"),
        ("ti 6al 4v", "Ti-6Al-4V"),
        (" juglans  NIGRA ", "Juglans nigra"),
    ],
)
def test_spelling_of_a_material_name_is_free(typed: str, name: str) -> None:
    assert material(typed).name == name


@given(st.sampled_from(materials()), st.data())
def test_case_spaces_and_hyphens_do_not_matter(row: Material, data: st.DataObject) -> None:
    typed = data.draw(st.sampled_from([row.name.upper(), row.name.lower(), row.name.swapcase()]))
    prefix = data.draw(st.sampled_from(["", "AISI ", "EN ", "NEMA "])) if "NEMA" not in row.name else ""
    gap = data.draw(st.sampled_from([" ", "-", "  "]))
    assert material(prefix + typed.replace(" ", gap).replace("-", gap)) is row


def test_an_unknown_material_is_answered_with_the_nearest() -> None:
    with pytest.raises(UnknownNameError) as caught:
        material("1085")
    assert caught.value.kind == "material"
    assert "1084" in caught.value.suggestions


def test_a_shop_brings_its_own_material() -> None:
    own = own_material()
    assert material(own) is own


@pytest.mark.parametrize(
    ("density", "low", "high", "field"),
    [
        (0.0, 0.0, 1.0, "density_g_cm3"),
        (-1.0, -2.0, 1.0, "density_g_cm3"),
        (math.nan, 1.0, 2.0, "density_g_cm3"),
        (math.inf, 1.0, 9.0, "density_g_cm3"),
        (7.8, 1.0, math.inf, "high"),
        (7.6, 7.7, 7.9, "density_g_cm3"),
        (8.0, 7.7, 7.9, "density_g_cm3"),
        (7.8, math.nan, 7.9, "low"),
        (7.8, 7.7, math.nan, "high"),
    ],
)
def test_a_density_that_cannot_be_is_refused(density: float, low: float, high: float, field: str) -> None:
    with pytest.raises(ParameterError) as caught:
        own_material(density, low, high)
    assert caught.value.field == field


def test_an_unknown_kind_is_refused() -> None:
    with pytest.raises(UnknownNameError, match="material kind"):
        own_material(kind="stel")


# Drills


def test_all_number_letter_and_fraction_sizes() -> None:
    for number, size in zip(range(1, 81), NUMBER_SIZES.split(), strict=True):
        assert drill(f"#{number}").diameter == length(f"{size} in")
    for letter, size in zip(ascii_uppercase, LETTER_SIZES.split(), strict=True):
        assert drill(letter).diameter == length(f"{size} in")
    for n in range(1, 33):
        assert drill(str(Fraction(n, 64))).diameter == inch(str(Fraction(n, 64)))
    assert Counter(row.series for row in drills()) == {
        "fraction": 32,
        "number": 80,
        "letter": 26,
        "metric": 150,
    }


def test_metric_sizes() -> None:
    # ISO 235 pattern: 1.00 to 2.95 by 0.05, 3.0 to 13.9 by 0.1 mm.
    expected = [n / 100 for n in range(100, 300, 5)] + [n / 10 for n in range(30, 140)]
    assert [row.diameter for row in drills("metric")] == expected


@pytest.mark.parametrize("series", DRILL_SERIES)
def test_a_series_rises_and_holds_only_itself(series: str) -> None:
    rows = drills(series)
    assert {row.series for row in rows} == {series}
    assert all(a.diameter < b.diameter for a, b in pairwise(rows))


def test_series_are_joined_in_one_rising_row() -> None:
    both = drills("letter", "fraction")
    assert len(both) == 26 + 32
    assert [row.diameter for row in drills()] == sorted(row.diameter for row in drills())
    assert [row.name for row in both if row.diameter == 6.35] == ["1/4", "E"]


def test_every_drill_is_found_by_name_and_by_diameter() -> None:
    for row in drills():
        assert row.confidence in CONFIDENCE
        assert row.source
        assert drill(row.name) is row
        assert drill(row.diameter).diameter == row.diameter


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("1/4", "1/4"),
        ("1/4 in", "1/4"),
        ('1/4"', "1/4"),
        ("0.250 in", "1/4"),
        ("2/8 in", "1/4"),
        ("# 7", "#7"),
        ("f", "F"),
        ("6.5 mm", "6.5 mm"),
        ("6.50mm", "6.5 mm"),
        ("6.5", "6.5 mm"),
        (6.5, "6.5 mm"),
        (4, "4 mm"),
        (6.35, "1/4"),
        (12.7, "12.7 mm"),
        ("0.5 in", "1/2"),
    ],
)
def test_spelling_of_a_drill_is_free(typed: str | float, name: str) -> None:
    assert drill(typed).name == name


@pytest.mark.parametrize("typed", ["#81", "#0", "AA", "", "33/64", "1.5 in", "6.53 mm", 6.53, -6.5, "-6.5 mm", 0.0])
def test_an_unknown_drill_is_refused(typed: str | float) -> None:
    with pytest.raises(UnknownNameError) as caught:
        drill(typed)
    assert caught.value.kind == "drill"


@pytest.mark.parametrize("value", [math.nan, math.inf, True])
def test_a_diameter_that_is_no_length_is_refused(value: float) -> None:
    with pytest.raises(QuantityError):
        drill(value)


def test_an_unknown_series_is_refused() -> None:
    with pytest.raises(UnknownNameError, match="drill series"):
        drills("fraction", "fractional")


@pytest.mark.parametrize(
    ("name", "count", "first", "last"),
    [
        ("fractional", 29, "1/16", "1/2"),
        ("number", 60, "#60", "#1"),
        ("letter", 26, "A", "Z"),
        ("metric", 25, "1 mm", "13 mm"),
    ],
)
def test_boxed_sets(name: str, count: int, first: str, last: str) -> None:
    box = drill_index(name)
    assert (len(box), box[0].name, box[-1].name) == (count, first, last)
    assert all(a.diameter < b.diameter for a, b in pairwise(box))


def test_an_unknown_boxed_set_is_refused() -> None:
    with pytest.raises(UnknownNameError, match="drill index"):
        drill_index("whitworth")


# Paper


@pytest.mark.parametrize(
    ("name", "width_pt", "height_pt"),
    [
        ("A4", 595.275591, 841.889764),  # ISO 216 at 72 points to the inch (ISO 32000)
        ("Letter", 612.0, 792.0),  # ASME Y14.1 size A
        ("Legal", 612.0, 1008.0),
        ("Tabloid", 792.0, 1224.0),  # ASME Y14.1 size B
    ],
)
def test_paper_in_points(name: str, width_pt: float, height_pt: float) -> None:
    sheet = paper(name)
    assert sheet.width / 25.4 * 72 == pytest.approx(width_pt, abs=1e-6)
    assert sheet.height / 25.4 * 72 == pytest.approx(height_pt, abs=1e-6)


def test_iso_sheets_halve() -> None:
    # ISO 216: the next size is half the sheet, rounded down to whole mm.
    for n in range(5):
        larger, smaller = paper(f"A{n}"), paper(f"A{n + 1}")
        assert (smaller.width, smaller.height) == (larger.height // 2, larger.width)


def test_every_sheet_stands_upright() -> None:
    for name in PAPERS:
        sheet = paper(name)
        assert sheet.width < sheet.height
        assert sheet.source
        assert paper(f" {name.upper()} ") is paper(name.lower()) is sheet


def test_an_unknown_sheet_is_refused() -> None:
    with pytest.raises(UnknownNameError) as caught:
        paper("leter")
    assert caught.value.kind == "paper"
    assert caught.value.suggestions[0] == "Letter"


def test_a_sheet_lying_down_is_refused() -> None:
    with pytest.raises(ParameterError):
        Paper(name="roll", width=610.0, height=300.0, source="shop")


# All three


@pytest.mark.parametrize("value", [material("1084"), drill("#7"), paper("A4")])
def test_values_cannot_be_changed(value: Material | Drill | Paper) -> None:
    with pytest.raises(FrozenInstanceError):
        value.name = "other"  # type: ignore[misc]  # the point of the test
    assert replace(value, name="other") != value


def test_import_pulls_in_no_heavy_library() -> None:
    code = (
        "import sys, bladegeom.quantities.materials\n"
        "raise SystemExit(', '.join({'numpy', 'shapely', 'scipy', 'ezdxf'} & set(sys.modules)))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert run.stderr.strip() == ""

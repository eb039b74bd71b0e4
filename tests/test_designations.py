"""A designation in any of its open forms finds one row; names by rule are held against the composition in their row."""

from __future__ import annotations

import re
from collections import Counter

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bladegeom.knife.stock import Stock
from bladegeom.order.order_features import same_material
from bladegeom.quantities.composition import Content, read_composition
from bladegeom.quantities.designations import designation_key
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.materials import MATERIAL_KINDS, Material, material, materials, row_name

CALLED = [(row, name) for row in materials() for name in (row.name, *row.also)]
PREFIXES = (
    "",
    "AISI ",
    "aisi",
    "SAE-",
    "EN ",
    "En-",
    "DIN ",
    "UNS ",
    "W.-Nr. ",
    "Werkstoff-Nr. ",
    "NEMA ",
    "AISI/SAE ",
)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("C75S", "1075"),
        ("1.1248", "1075"),
        ("AISI 1075", "1075"),
        ("X50CrMoV15", "1.4116"),
        ("x50 crmov15", "1.4116"),
        ("1,4116", "1.4116"),
        ("En 1.2842", "1.2842"),
        ("90MnCrV8", "1.2842"),
        ("O2", "1.2842"),
        ("1.1274", "1095"),
        ("1.2235", "80CrV2"),
        ("1.1545", "W1"),
        ("1.2510", "O1"),
        ("1.2363", "A2"),
        ("1.2379", "D2"),
        ("100Cr6", "52100"),
        ("1.4125", "440C"),
        ("X65Cr13", "1.4037"),
        ("1.4153.03", "1.4153.03"),
        ("75Ni8", "15N20"),
        ("1.4301", "304"),
        ("UNS C75200", "C75200"),
        # A public table of cross references (UNS, DIN, EN) has these; the others in our table are from memory.
        ("UNS G10950", "1095"),
        ("G51600", "5160"),
        ("G52986", "52100"),
        ("UNS T30102", "A2"),
        ("UNS T30402", "D2"),
        ("T31501", "O1"),
        ("T72301", "W1"),
        ("UNS S42000", "420"),
        ("UNS S44004", "440C"),
        ("S31603", "316L"),
        ("UNS A96061", "6061"),
        ("R56400", "Ti-6Al-4V"),
        ("ENAW-6061", "6061"),
        ("NEMA VF", "vulcanised fibre"),
        ("olive", "Olea europaea"),
        ("desert ironwood", "Olneya tesota"),
        ("stabilized wood", "stabilised wood"),
    ],
)
def test_open_forms_find_their_row(typed: str, name: str) -> None:
    assert material(typed).name == name == row_name(typed)


@given(st.sampled_from(CALLED), st.data())
def test_case_gaps_and_the_body_that_named_it_do_not_matter(called: tuple[Material, str], data: st.DataObject) -> None:
    row, name = called
    parts = re.findall(r"[^\W\d_]+|\d+", name)
    gaps = data.draw(st.lists(st.sampled_from(["", " ", "-", " - ", "."]), min_size=len(parts), max_size=len(parts)))
    typed = data.draw(st.sampled_from(PREFIXES)) + "".join(part + gap for part, gap in zip(parts, gaps, strict=True))
    assert material(data.draw(st.sampled_from([typed, typed.upper(), typed.lower(), typed.swapcase()]))) is row


def test_an_order_may_call_the_steel_of_the_design_otherwise() -> None:
    assert same_material("X50CrMoV15", material("1.4116"))
    assert not same_material("1.4034", material("1.4116"))
    with pytest.raises(UnknownNameError) as caught:
        same_material("x9q", material("1.4116"))
    assert not caught.value.suggestions


def test_no_designation_means_two_rows() -> None:
    count = Counter(designation_key(name) for _, name in CALLED)
    assert [key for key, times in count.items() if times > 1] == []
    assert "" not in count


@pytest.mark.parametrize(
    ("near", "name"),
    [
        ("1.7176", "5160"),
        ("1.7177", "5160"),
        ("1.2714", "L6"),
        ("1.1269", "1084"),
        ("1080", "1084"),
        ("1.4109", "440A"),
    ],
)
def test_what_is_only_near_is_a_row_of_its_own_and_says_so(near: str, name: str) -> None:
    one, other = material(near), material(name)
    assert one is not other
    assert f"near {name}" in one.note or f"like {name}" in one.note


def test_any_name_begins_with_no_body_alone() -> None:
    assert [designation_key(name) for name in ("EN", "english oak", "Wnr 1.4116", "typewood")] == [
        *("en", "englishoak", "14116", "typewood"),
    ]


# Names by rule. Source: EN 10027-1, 7.2 (steels by composition), EN 1412 and ISO 1190 (copper), AISI and SAE numbers.

FACTORS = {"Cr": 4, "Mn": 4, "Ni": 4, "Si": 4, "Co": 4, "W": 4, "C": 100}
SYMBOLS = re.compile(r"[A-Z][a-z]?")


def by_rule(name: str) -> dict[str, tuple[float, float]]:
    """Per cent of each element that a name by rule tells, with the rounding of its number."""
    if found := re.fullmatch(r"X(\d+)((?:[A-Z][a-z]?)+)(\d+(?:-\d+)*)", name):
        carbon, symbols, numbers = found.groups()
        told = zip(SYMBOLS.findall(symbols), numbers.split("-"), strict=False)
        return {"C": (int(carbon) / 100, 0.005), **{e: (float(n), 0.5) for e, n in told}}
    if found := re.fullmatch(r"(\d+)((?:[A-Z][a-z]?)+)(\d+)", name):
        carbon, symbols, number = found.groups()
        first = SYMBOLS.findall(symbols)[0]
        factor = FACTORS.get(first, 10)
        return {"C": (int(carbon) / 100, 0.005), first: (int(number) / factor, 0.5 / factor)}
    if found := re.fullmatch(r"(?:C|Ck)(\d{2,3})[SU]?", name):
        return {"C": (int(found[1]) / 100, 0.005)}
    if name.startswith(("CuSn", "CuZn", "TiAl")):
        return {e: (float(n), 0.5) for e, n in re.findall(r"([A-Z][a-z]?)(\d+)", name)}
    if found := re.fullmatch(r"10(\d\d)|5(?:1)(\d\d)|86(\d\d)|52(100)", name):
        return {"C": (int(next(digits for digits in found.groups() if digits)) / 100, 0.005)}
    return {}


RULED = [(row, name) for row, name in CALLED if by_rule(name) and name != "15N20"]  # which only looks like one


def test_most_alloys_have_a_name_by_rule() -> None:
    assert len({row.name for row, _ in RULED}) >= 30


def test_a_name_by_rule_agrees_with_the_composition() -> None:
    for row, name in RULED:
        for element, (told, rounding) in by_rule(name).items():
            least, greatest = row.content(element)
            assert least - rounding <= told <= greatest + rounding, (name, element, told)


def test_copper_alloys_weigh_what_their_elements_do() -> None:
    """By specific volumes of the elements (CRC Handbook): real alloys are up to 3 % denser, none is far lighter."""
    dense = {"Cu": 8.96, "Zn": 7.14, "Sn": 7.29, "Ni": 8.91, "Pb": 11.34, "P": 1.82}
    for name in ("C36000", "C26000", "C75200", "C51000", "C54400"):
        row = material(name)
        parts = [(content.element, (content.least + content.greatest) / 2) for content in row.composition]
        whole = sum(share for _, share in parts)
        mixed = 1 / sum(share / whole / dense[element] for element, share in parts)
        assert -0.005 <= row.density_g_cm3 / mixed - 1 <= 0.03


def test_nickel_is_told_where_it_is() -> None:
    """EN 10088-1 for the austenitic steels, the UNS list for nickel silver (from memory)."""
    assert material("304").content("Ni") == (8.0, 10.5)
    holds = {row.name for row in materials() if row.content("Ni")[1] > 0.5}
    assert holds == {"304", "316", "316L", "C75200", "L6", "8670", "15N20", "1.2713", "1.2714", "1.4122"}
    assert material("Juglans nigra").content("Ni") == (0.0, 0.0)


def test_a_composition_rises_within_the_whole() -> None:
    assert read_composition("C 0.45-0.55; Cr 14-15")[1] == Content(element="Cr", least=14.0, greatest=15.0)
    assert read_composition("") == ()
    with pytest.raises(ParameterError, match="Cr"):
        Content(element="Cr", least=15.0, greatest=14.0)


# Unknown names


@given(st.sampled_from([name for _, name in CALLED]), st.data())
def test_neighbours_are_of_one_kind(name: str, data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(name) - 1))
    typed = name[:at] + data.draw(st.sampled_from(["", "7", "q"])) + name[at + 1 :]
    assume(typed.strip())
    try:
        material(typed)
    except UnknownNameError as error:
        near = [material(suggestion).kind for suggestion in error.suggestions]
        digits = any(c.isdigit() for c in typed)
        assert len(set(near)) <= 1 or not digits
        if digits:
            assert not set(near) & {"wood", "horn-bone", "polymer", "adhesive"}


@pytest.mark.parametrize("typed", ["x9q", "antle", "olivewod", "hornn", "walnut", "1.4117"])
def test_a_steel_never_suggests_an_antler(typed: str) -> None:
    with pytest.raises(UnknownNameError) as caught:
        Stock(steel=typed, thickness=4.0)
    assert {material(suggestion).kind for suggestion in caught.value.suggestions} <= {"steel", "metal"}
    assert "antler" not in str(caught.value)


def test_a_common_name_is_answered_with_what_it_may_mean() -> None:
    for typed, meant in (("brass", {"C36000", "C26000"}), ("walnut", {"Juglans nigra", "Juglans regia"})):
        with pytest.raises(UnknownNameError) as caught:
            material(typed)
        assert set(caught.value.suggestions) == meant


def test_every_kind_is_known_to_the_table() -> None:
    assert {row.kind for row in materials()} == set(MATERIAL_KINDS)

"""Parameters of a design as they are turned: kinds, units, ranges, words."""

from __future__ import annotations

import math
from pathlib import Path
from textwrap import dedent

import pytest
from draws import draws
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.design.script import load_script
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.petty import Petty
from bladegeom.profiles.swelled import Swelled
from bladegeom.settings.settings import Settings
from bladegeom.watch.dial import Dial, dials, words_of_arguments
from bladegeom.watch.dial_range import own_range, widened


def read(folder: Path, signature: str, doc: str = "", *profiles: object, before: str = "") -> dict[str, Dial]:
    path = folder / "k.py"
    path.write_text(f"{before}\ndef design({signature}):\n    {doc!r}\n", encoding="utf-8")
    script = load_script(path)
    called = {name: p.default for name, p in script.parameters.items()}
    return {dial.name: dial for dial in dials(script, called, profiles)}


@pytest.mark.parametrize(
    ("signature", "kind", "unit"),
    [
        ("height: float = 30.0", "length", "mm"),
        ("height=30.0", "length", "mm"),
        ("height=30", "length", "mm"),
        ("lean_deg: float = 10.0", "number", "degrees"),
        ("edge_hrc: float = 58.0", "number", "HRC"),
        ("most_g: float = 180.0", "number", "g"),
        ("count: int = 3", "whole", ""),
        ("count: 'int' = 3", "whole", ""),
        ("slot: bool = True", "yes_no", ""),
        ("side: Literal['left', 'right'] = 'left'", "choice", ""),
        ("count: Literal[2, 3] = 2", "choice", ""),
        ("name: str = 'Galley'", "text", ""),
        ("bar=None", "fixed", ""),
        ("most=float('inf')", "fixed", ""),
        ("most=float('nan')", "fixed", ""),
        ("most: int = 10**400", "fixed", ""),
        ("pins=(1.0, 2.0)", "fixed", ""),
        ("height: Unknown.height = 30.0", "length", "mm"),
    ],
)
def test_kind_and_unit_follow_from_annotation_default_and_name(
    tmp_path: Path, signature: str, kind: str, unit: str
) -> None:
    before = "from __future__ import annotations\nfrom typing import Literal"
    (dial,) = read(tmp_path, signature, before=before).values()
    assert (dial.kind, dial.unit) == (kind, unit)
    assert (dial.range is None) == (kind in ("yes_no", "choice", "text", "fixed"))
    known = {"side": ("left", "right"), "count": ("2", "3")} if kind == "choice" else {}
    assert dial.choices == known.get(dial.name, ())
    assert [dial.read(choice) for choice in dial.choices] == ([2, 3] if "2" in dial.choices else [*dial.choices])


def test_a_text_that_names_a_material_offers_its_like(tmp_path: Path) -> None:
    found = read(tmp_path, "steel='1.4116', slab='Juglans nigra', mark='A'")
    assert {"52100", "1.4116"} <= set(found["steel"].choices)
    assert "NEMA C" in found["slab"].choices
    assert not set(found["steel"].choices) & set(found["slab"].choices)
    assert found["mark"].choices == ()


def test_own_materials_of_the_stockroom_are_offered_too(tmp_path: Path) -> None:
    for place in ("steels/shop steel 7.toml", "woods/ship oak.toml"):
        (tmp_path / place).parent.mkdir()
        (tmp_path / place).write_text('density_g_cm3 = 1.0\nsource = "weighed"\n')
    with Settings(stockroom=tmp_path).in_force():
        found = read(tmp_path, "steel='shop steel 7', slab='Juglans nigra'")
    assert {"shop steel 7", "1.4116"} <= set(found["steel"].choices)
    assert {"ship oak", "NEMA C"} <= set(found["slab"].choices)
    assert not set(found["steel"].choices) & set(found["slab"].choices)


def test_a_profile_lends_range_and_words_where_name_and_value_are_its_own(tmp_path: Path) -> None:
    profiles = (DropPoint(blade_length=105.0), Swelled(length=118.0))
    found = read(tmp_path, "blade_length=105.0, handle_length=118.0, height=12.5, thickness=3.5", "", *profiles)
    blade, handle = found["blade_length"], found["handle_length"]
    assert blade.range is not None
    assert (blade.range.low, blade.range.high) == (70.0, 180.0)
    assert blade.said == "handle front to tip, along x"
    assert handle.range is not None
    assert (handle.range.low, handle.range.high) == (95.0, 145.0)
    # The profile has a height too, but not this one: the script means something else, or reckons with it.
    assert found["height"].range == own_range(12.5, "length", "mm")
    assert found["thickness"].range == own_range(3.5, "length", "mm")


def test_shares_and_powers_of_a_profile_are_no_lengths(tmp_path: Path) -> None:
    found = read(tmp_path, "belly=2.3, edge_straight=0.2", "", Petty(belly=2.3, edge_straight=0.2))
    assert [(dial.kind, dial.unit) for dial in found.values()] == [("number", ""), ("number", "of the edge")]
    assert found["edge_straight"].shown(0.2) == "0.2 of the edge"


def test_a_default_outside_its_profile_s_range_can_still_be_reached(tmp_path: Path) -> None:
    (dial,) = read(tmp_path, "blade_length=200.0", "", DropPoint(blade_length=200.0)).values()
    assert dial.range is not None
    assert (dial.range.low, dial.range.high) == (70.0, 200.0)


def test_the_script_s_own_words_come_first(tmp_path: Path) -> None:
    doc = """A knife.

    Args:
        blade_length: As it fits the drawer,
            and no longer.
        other (float): Something else.

    Returns:
        height: no argument.
    """
    found = read(tmp_path, "blade_length=105.0, other=2.0, height=30.0", doc, DropPoint(blade_length=105.0))
    assert [dial.said for dial in found.values()] == [
        "As it fits the drawer, and no longer.",
        "Something else.",
        "",
    ]


def test_a_docstring_without_arguments_says_nothing() -> None:
    assert words_of_arguments("Length: of the blade.\nArgs") == {}


@pytest.mark.parametrize(
    ("name", "default", "text", "value", "written", "shown"),
    [
        ("height", "30.0", "4-3/4 in", 120.65, "120.65", "120.65 mm (4-3/4 in)"),
        ("lean_deg", "10.0", "12.5", 12.5, "12.5", "12.5 degrees"),
        ("height", "30.0", "31", 31.0, "31", "31.00 mm (1.220 in)"),
        ("slot", "True", "no", False, "no", "no"),
        ("steel", "'1.4116'", "1095", "1095", "1095", "1095"),
        ("edge_hrc", "58.0", "59", 59.0, "59", "59 HRC"),
    ],
)
def test_values_are_read_as_on_the_command_line(
    tmp_path: Path, name: str, default: str, text: str, value: object, written: str, shown: str
) -> None:
    (dial,) = read(tmp_path, f"{name}={default}").values()
    assert (dial.read(text), dial.written(value), dial.shown(value)) == (value, written, shown)


@draws(100)
@given(default=st.floats(0.001, 5000.0), sign=st.sampled_from((1, -1)), kind=st.sampled_from(("length", "number")))
def test_an_own_range_holds_half_and_double_and_never_nought(default: float, sign: int, kind: str) -> None:
    found = own_range(sign * default, kind, "mm" if kind == "length" else "")
    low, high = sorted((abs(found.low), abs(found.high)))
    assert math.copysign(1, found.low) == math.copysign(1, found.high) == sign
    assert 0 < low <= default
    assert 2 * default <= high * (1 + 1e-9)
    assert found.low < sign * default < found.high
    assert found.step > 0


@draws(50)
@given(default=st.integers(-500, 500))
def test_a_whole_number_moves_by_ones(default: int) -> None:
    found = own_range(default, "whole", "")
    assert found.step == 1
    assert found.low.is_integer()
    assert found.high.is_integer()
    assert widened(found, default) == found


def test_what_reads_dedented_text_is_not_misled_by_tabs() -> None:
    assert words_of_arguments(dedent("Knife.\n\nArgs:\n\ta: First.\n\tb: Second.\n\n\tmore of b.")) == {
        "a": "First.",
        "b": "Second. more of b.",
    }

"""Slips that a maker makes in Python: each is refused in one short sentence that says the way out."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from specimens import drop_point

from bladegeom import (
    BladegeomError,
    Design,
    Process,
    StockPiece,
    blank_of,
    check,
    curvature_comb,
    nest,
    nest_most,
    preflight,
    quote,
    quote_sheet,
    quote_words,
    report,
    script_sweep,
    spline,
    starter_prices,
    starter_script,
    template,
    weigh,
    what_moves_balance,
)
from bladegeom.profiles.drop_point import DropPoint

BAR: Any = StockPiece(length=1000.0, width=50.0)
NONE: Any = None
TEXT: Any = "abc"
DESIGN: Any = Design


@pytest.fixture(name="script")
def _script(tmp_path: Path) -> Path:
    path = tmp_path / "my_knife.py"
    path.write_text(starter_script("my_knife", blade="drop_point", handle="swelled"), encoding="utf-8")
    return path


SLIPS: list[tuple[Callable[[Any], Any], str]] = [
    (lambda k: check(DESIGN(k)), "a Design has one as .knife"),
    (lambda k: weigh(DESIGN(k)), "a Design has one as .knife"),
    (curvature_comb, "a Knife has one as .outline"),
    (report, "design=Design(knife)"),
    (template, "template: design is Knife(...); it must be written like design=Design(knife)"),
    (lambda k: template(DESIGN(k), paper=BAR), "template: paper is StockPiece(...)"),
    (Design.from_script, "path is Knife(...); it must be the name of a file"),
    (lambda k: preflight(DESIGN(k)), "path is Design(...); it must be the name of a file"),
    (
        what_moves_balance,
        "weighing is Knife(...); it must be written like weighing=weigh(knife)",
    ),
    (lambda k: nest(k, BAR), "blanks=(blank_of(knife, copies=4),)"),
    (lambda k: nest_most(k, BAR), "nest: blank is Knife(...)"),
    (lambda k: nest_most(blank_of(k), NONE), "nest: stock is None"),
    (lambda k: quote_words(DESIGN(k)), "made=quote(design, 'prices.toml')"),
    (lambda _: quote_sheet(NONE), "made=quote(design, 'prices.toml')"),
    (lambda _: DropPoint(blade_length="110 mm"), "length('110 mm') reads one"),
    (lambda _: Process.named(NONE), "such as 'laser'"),
    (lambda _: spline(TEXT), "each two numbers of mm, not 'abc'"),
    (lambda _: spline([(TEXT, 1.0), (2.0, 3.0)]), "each two numbers of mm, not (('abc', 1), (2, 3))"),
]


@pytest.mark.parametrize(("slip", "way_out"), SLIPS)
def test_a_slip_is_told_with_its_way_out(slip: Callable[[Any], Any], way_out: str) -> None:
    with pytest.raises(BladegeomError) as caught:
        slip(drop_point())
    assert way_out in str(caught.value)
    assert len(str(caught.value)) < 250


def test_a_value_that_holds_nothing_wanted_gets_no_such_hint() -> None:
    with pytest.raises(BladegeomError) as caught:
        check(BAR)
    assert " has one as " not in str(caught.value)


@pytest.mark.parametrize(
    ("grid", "told"),
    [
        ({"thickness": 3.5}, "thickness is 3.5; it must be a list of values, such as [3.5]"),
        ({"thickness": "3:4:0.5"}, "be a list of values, such as ['3:4:0.5']"),
        ({"thickness": ()}, "have at least one"),
        ("thickness=3:4:0.5", "grid={'blade_length': [100.0, 110.0]}"),
    ],
)
def test_a_grid_that_is_none(script: Path, grid: Any, told: str) -> None:
    with pytest.raises(BladegeomError) as caught:
        script_sweep(script, grid)
    assert told in str(caught.value)


@pytest.mark.parametrize("name", ["sweep.pdf", "my_knife.py", "sweep"])
def test_a_sweep_is_saved_as_csv_and_as_nothing_else(script: Path, name: str) -> None:
    before = script.read_bytes()
    with pytest.raises(BladegeomError, match=r"name a file that ends with \.csv$"):
        script_sweep(script, {"thickness": (3.5,)}).save(script.parent / name)
    assert [path.name for path in script.parent.iterdir()] == ["my_knife.py"]
    assert script.read_bytes() == before


@pytest.mark.parametrize(("written", "meant"), [("18,50", "18.50"), ("-3,5  # a comma", "-3.5")])
def test_a_decimal_comma_in_a_price_list(tmp_path: Path, written: str, meant: str) -> None:
    prices = tmp_path / "prices.toml"
    lines = starter_prices().splitlines()
    at = next(number for number, line in enumerate(lines) if line.startswith("hour_rate"))
    lines[at] = f"hour_rate = {written}"
    prices.write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(BladegeomError) as caught:
        quote(Design(drop_point()), prices)
    assert f"prices.toml, line {at + 1}: " in str(caught.value)
    assert f"write {meant} with a decimal point" in str(caught.value)

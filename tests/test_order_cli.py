"""An order beside a script or in it, on the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from bladegeom.cli import main

ROOT = Path(__file__).resolve().parent.parent

SCRIPT = """
from datetime import date
from bladegeom import *
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.straight import Straight

def design(blade_length: float = 110.0) -> Knife:
    outline = join_halves(DropPoint(blade_length=blade_length), Straight())
    grind = Grind(bevel=FlatBevel(height=17.0, edge_thickness=0.4), plunge=Plunge(x=outline.heel[0]), rough_edge=0.8)
    return Knife(name="Ordered", outline=outline, stock=Stock(steel="1.4116", thickness=3.5), grind=grind)
"""

ORDER = """
ORDER = Order(
    number="S-1",
    customer="the ship's cook",
    date=date(2026, 3, 2),
    requirements=(
        Requirement(
            number=1, text="as long as my hand", concerns="blade",
            met=Measured(measure="blade length", nominal={length}, tolerance=1),
        ),
    ),
)
"""

TOML = """number = "S-1"
customer = "the ship's cook"
date = 2026-03-02

[[requirement]]
number = 1
text = "as long as my hand"
concerns = "blade"
met = { measure = "blade length", nominal = LENGTH, tolerance = 1 }
"""


@pytest.fixture
def script(tmp_path: Path) -> Path:
    path = tmp_path / "knife.py"
    path.write_text(SCRIPT)
    return path


def held(script: Path, wanted: float) -> None:
    script.write_text(SCRIPT + ORDER.replace("{length}", str(wanted)))


def beside(script: Path, wanted: float) -> None:
    script.with_name("knife.order.toml").write_text(TOML.replace("LENGTH", str(wanted)))


@pytest.mark.parametrize("put", [held, beside])
def test_an_order_that_is_met(script: Path, put: object, capsys: pytest.CaptureFixture[str]) -> None:
    assert callable(put)
    put(script, 110)
    assert main(["order", str(script)]) == 0
    told = capsys.readouterr().out
    assert "as long as my hand" in told
    assert "met           blade length (tip to the handle front at the spine) 110.00 mm (4.331 in)" in told
    assert told.splitlines()[-1].startswith("complete: 1 requirement lands")
    assert main(["check", str(script)]) == 0


def test_an_order_that_is_not_met_keeps_the_cut_file_back(script: Path, capsys: pytest.CaptureFixture[str]) -> None:
    beside(script, 105)
    assert main(["order", str(script)]) == 1
    told = capsys.readouterr().out
    assert "NOT MET" in told
    assert not any(line.startswith("complete") for line in told.splitlines())
    assert told.splitlines()[-1].startswith("NOT COMPLETE: 1 of 1 requirements do not land (number 1)")
    assert main(["check", str(script)]) == 1
    assert "error [order-measure] requirement 1 ('as long as my hand')" in capsys.readouterr().out
    out = script.parent / "out"
    assert main(["export", str(script), "--out", str(out), "--paper", "A4"]) == 1
    assert not list(out.glob("*.dxf"))
    assert main(["export", str(script), "--out", str(out), "--paper", "A4", "--allow", "order-measure"]) == 0
    assert len(list(out.glob("*.dxf"))) == 1
    # Another design of the same script meets it.
    assert main(["order", str(script), "blade_length=105"]) == 0


@pytest.mark.long
def test_a_hardness_that_the_steel_cannot_have_keeps_the_cut_file_back(
    script: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    way = '{ measure = "hardness", low = 60 }'
    beside(script, 110)
    path = script.with_name("knife.order.toml")
    path.write_text(
        path.read_text() + f'[[requirement]]\nnumber = 2\ntext = "60 HRC or more"\nconcerns = "steel"\nmet = {way}\n'
    )
    assert main(["order", str(script)]) == 1
    assert "1.4116 gives 55 to 56 HRC" in capsys.readouterr().out
    assert main(["check", str(script)]) == 1
    assert "error [order-measure] requirement 2" in capsys.readouterr().out
    assert main(["export", str(script), "--out", str(script.parent / "out"), "--paper", "A4"]) == 1
    assert not list(script.parent.rglob("*.dxf"))


def test_words_that_no_field_measures_are_asked_about(script: Path, capsys: pytest.CaptureFixture[str]) -> None:
    beside(script, 110)
    path = script.with_name("knife.order.toml")
    path.write_text(path.read_text().replace("as long as my hand", "8 in from the handle"))
    assert main(["order", str(script)]) == 0
    told = capsys.readouterr().out
    assert "warning [order-words] requirement 1 ('8 in from the handle') says '8 in'" in told
    assert told.splitlines()[-1].startswith("complete")


def test_a_wish_that_lands_nowhere_is_not_complete(script: Path, capsys: pytest.CaptureFixture[str]) -> None:
    beside(script, 110)
    path = script.with_name("knife.order.toml")
    path.write_text(
        path.read_text() + '[[requirement]]\nnumber = 2\ntext = "light"\nconcerns = "weight"\nweight = "wish"\n'
    )
    assert main(["order", str(script)]) == 1
    assert "NOWHERE" in capsys.readouterr().out
    assert main(["check", str(script)]) == 0


def test_both_are_one_too_many(script: Path, capsys: pytest.CaptureFixture[str]) -> None:
    held(script, 110)
    beside(script, 110)
    for command in ("order", "check", "export"):
        assert main([command, str(script)]) == 2
        assert "keep one of them" in capsys.readouterr().err


def test_no_order(script: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["order", str(script)]) == 2
    assert "set ORDER = Order(...) in it, or write knife.order.toml beside it" in capsys.readouterr().err


def test_something_else_than_an_order(script: Path, capsys: pytest.CaptureFixture[str]) -> None:
    script.write_text(SCRIPT + "ORDER = 'long'\n")
    assert main(["check", str(script)]) == 2
    assert "ORDER is 'long', not an Order" in capsys.readouterr().err


def test_a_broken_file_names_its_line(script: Path, capsys: pytest.CaptureFixture[str]) -> None:
    script.with_name("knife.order.toml").write_text(TOML.replace("LENGTH", "110").replace('"blade"', '"balde"'))
    assert main(["check", str(script)]) == 2
    assert (
        "knife.order.toml, line 8: requirement 1: no subject of a requirement is called 'balde'"
        in capsys.readouterr().err
    )


@pytest.mark.parametrize("name", ["galley_petty", "galley_chef"])
def test_the_galley_run_is_ordered_in_full(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["order", str(ROOT / "examples" / f"{name}.py")]) == 0
    assert capsys.readouterr().out.splitlines()[-1].startswith("complete")

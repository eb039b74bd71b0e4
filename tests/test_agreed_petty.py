"""The galley petty after it was agreed, its files edited as by hand: what shows is told, nothing else is held back."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import pytest
from agreements import EXAMPLES

from bladegeom.cli import main

SCRIPT, ORDER, PRICES = "galley_petty.py", "galley_petty.order.toml", "prices.toml"

Edit = tuple[str, str, str]
"""File, a text that stands once in it, and what it becomes."""

_LAST: Final = "    return add_lightening_row("
_PIN: Final = 'Pin(rod="C26000", diameter=inch("3/16"))'
_IMPORT: Final = "from bladegeom import (\n"


def in_knife(words: str) -> Edit:
    """Another field of the knife."""
    return SCRIPT, "        hand_breadth=88.0,\n", f"        hand_breadth=88.0,\n        {words},\n"


def importing(name: str, edit: Edit) -> tuple[Edit, Edit]:
    """With another name out of the package."""
    return (SCRIPT, _IMPORT, f"{_IMPORT}    {name},\n"), edit


def afterwards(words: str) -> tuple[Edit, Edit]:
    """The finished knife with something replaced."""
    return (
        (SCRIPT, '\n"""\n\nfrom bladegeom', '\n"""\n\nfrom dataclasses import replace\n\nfrom bladegeom'),
        (
            SCRIPT,
            f"{_LAST}add_fasteners(knife, {_PIN}, count=3))",
            f"    knife = add_lightening_row(add_fasteners(knife, {_PIN}, count=3))\n    return {words}",
        ),
    )


SEEN: Final[dict[str, tuple[str, tuple[Edit, ...]]]] = {
    "longer blade": ("agreed-length", ((SCRIPT, "blade_length: float = 150.0", "blade_length: float = 151.0"),)),
    "higher blade": ("agreed-shape", ((SCRIPT, "height: float = 29.0", "height: float = 29.5"),)),
    "thicker steel": ("agreed-shape", ((SCRIPT, "thickness: float = 2.0", "thickness: float = 2.1"),)),
    "another wood": ("agreed-material", ((SCRIPT, "Juglans nigra", "Juglans regia"),)),
    "longer handle": ("agreed-length", ((SCRIPT, "length=112.0", "length=113.0"),)),
    "another steel": ("agreed-material", ((SCRIPT, 'steel="1.4116"', 'steel="1.4034"'),)),
    "thicker edge": ("agreed-shape", ((SCRIPT, "edge_thickness=0.2", "edge_thickness=0.24"),)),
    "plunge ahead": ("agreed-shape", ((SCRIPT, "outline.heel[0])", "outline.heel[0] + 1.0)"),)),
    "plunge leans": ("agreed-shape", ((SCRIPT, "outline.heel[0])", "outline.heel[0], lean_deg=6.0)"),)),
    "sharpened wider": ("agreed-shape", ((SCRIPT, "sharpen_deg=13.0", "sharpen_deg=15.0"),)),
    "ground on one side": ("agreed-shape", ((SCRIPT, "sharpen_deg=13.0", 'sharpen_deg=13.0, only="left"'),)),
    "mark moved": ("agreed-mark", ((SCRIPT, "MarkZone(x=7.0", "MarkZone(x=7.5"),)),
    "mark lower": ("agreed-mark", ((SCRIPT, "y=-8.0", "y=-9.0"),)),
    "mark wider": ("agreed-mark", ((SCRIPT, "width=9.0", "width=10.0"),)),
    "mark flatter": ("agreed-mark", ((SCRIPT, "height=3.0", "height=2.5"),)),
    "mark in small letters": ("agreed-mark", ((SCRIPT, "GALLEY 1", "Galley 1"),)),
    "mark on the left": ("agreed-mark", ((SCRIPT, 'text="GALLEY 1"', 'text="GALLEY 1", side="left"'),)),
    "thicker scales": ("agreed-shape", ((SCRIPT, "thickness=8.0", "thickness=8.2"),)),
    "rounder border": ("agreed-shape", ((SCRIPT, "Rounding(width=3.0", "Rounding(width=4.0"),)),
    "deeper rounding": ("agreed-shape", ((SCRIPT, "depth=3.0", "depth=2.5"),)),
    "pins of steel": ("agreed-material", ((SCRIPT, 'rod="C26000"', 'rod="304"'),)),
    "thicker pins": ("agreed-hardware", ((SCRIPT, 'inch("3/16")', 'inch("1/4")'),)),
    "two pins": ("agreed-hardware", ((SCRIPT, "count=3", "count=2"),)),
    "peened pins": ("agreed-hardware", ((SCRIPT, 'diameter=inch("3/16")', 'diameter=inch("3/16"), peened=True'),)),
    "ring of glue round the pins": (
        "agreed-hardware",
        ((SCRIPT, 'diameter=inch("3/16")', 'diameter=inch("3/16"), scale_hole=5.5'),),
    ),
    "a finish by hand": ("agreed-finish", ((SCRIPT, "WORK = Work(", 'WORK = Work(\n    finish="mirror",'),)),
    "an etch": ("agreed-finish", ((SCRIPT, "WORK = Work(", 'WORK = Work(\n    etch="coffee",'),)),
    "mark engraved": ("agreed-mark", ((SCRIPT, "etched through a stencil", "engraved"),)),
    "harder": ("agreed-material", ((SCRIPT, "WORK = Work(", "WORK = Work(\n    hardness=(57.0, 58.0),"),)),
    "less of the spine eased": ("agreed-order", ((SCRIPT, "value=40.0, low=38.0", "value=39.0, low=38.0"),)),
    "less of the spine eased, in words": ("agreed-order", ((SCRIPT, "handle 40 mm forward", "handle 20 mm forward"),)),
    "leaning front": ("agreed-shape", (in_knife("front_lean_deg=5.0"),)),
    "bowed front": ("agreed-shape", (in_knife("front_bow=0.5"),)),
    "no holes in the tang": ("agreed-weight", ((SCRIPT, f"{_LAST}add_fasteners", "    return (add_fasteners"),)),
    "a hole in sight": (
        "agreed-shape",
        (
            *afterwards(
                'replace(knife, holes=(*knife.holes, Hole(x=90.0, y=-6.0, diameter=3.0, purpose="lightening")))'
            ),
            (SCRIPT, _IMPORT, f"{_IMPORT}    Hole,\n"),
        ),
    ),
    "texture": (
        "agreed-texture",
        importing(
            "TextureZone", (SCRIPT, "zones=(MarkZone", "zones=(TextureZone(start=40.0, end=80.0, depth=0.1), MarkZone")
        ),
    ),
    "liners": (
        "agreed-material",
        importing(
            "Liner",
            (SCRIPT, "thickness=8.0,", 'thickness=8.0, liners=(Liner(sheet="G-10", thickness=0.5),),'),
        ),
    ),
    "three knives": ("agreed-order", ((ORDER, "quantity = 2", "quantity = 3"),)),
    "a month later": ("agreed-order", ((ORDER, "needed_by = 2026-06-15", "needed_by = 2026-07-15"),)),
    "other words": ("agreed-order", ((ORDER, "not too slim", "slim"),)),
    "wider limit": ("agreed-order", ((ORDER, 'tolerance = "1 mm"', 'tolerance = "2 mm"'),)),
    "sheath on the right": ("agreed-order", ((ORDER, 'side = "left"', 'side = "right"'),)),
    "larger deposit": ("agreed-price", ((ORDER, "deposit = 150", "deposit = 200"),)),
    "tax by the maker": ("agreed-price", ((ORDER, 'tax = "customer"', 'tax = "maker"'),)),
    "a change that costs": ("agreed-price", ((ORDER, "price = 0\n", "price = 30\n"),)),
    "no brought plank": ("agreed-material", ((ORDER, "a plank of the old galley table", "a plank of the shop"),)),
    "another tax": ("agreed-price", ((PRICES, "tax_percent = 19", "tax_percent = 20"),)),
    "another fee": ("agreed-price", ((PRICES, "fee = 15.00", "fee = 20.00"),)),
}
"""Edits that a customer would see, with the code under which each is told."""

UNSEEN: Final[dict[str, tuple[Edit, ...]]] = {
    "one hole less": afterwards("replace(knife, holes=knife.holes[1:])"),
    "a hole moved": afterwards(
        "replace(knife, holes=(replace(knife.holes[0], x=knife.holes[0].x - 1.0), *knife.holes[1:]))"
    ),
    "a smaller hole": afterwards("replace(knife, holes=(replace(knife.holes[0], diameter=5.0), *knife.holes[1:]))"),
    "holes drilled": afterwards('replace(knife, holes=tuple(replace(hole, made="drilled") for hole in knife.holes))'),
    "pins' holes reamed": afterwards(
        'replace(knife, fasteners=tuple(replace(each, made="reamed") for each in knife.fasteners))'
    ),
    "pins in another order": afterwards("replace(knife, revision='B', fasteners=knife.fasteners[::-1])"),
    "thicker edge for hardening": ((SCRIPT, "sharpen_deg=13.0", "sharpen_deg=13.0, rough_edge=0.9"),),
    "wider hole in the tang": ((SCRIPT, 'diameter=inch("3/16")', 'diameter=inch("3/16"), tang_hole=5.0'),),
    "a little wider hole in the scale": ((SCRIPT, 'diameter=inch("3/16")', 'diameter=inch("3/16"), scale_hole=4.9'),),
    "more to sand off": ((SCRIPT, "thickness=8.0,", "thickness=8.0, sanding=1.0,"),),
    "wider overhang": ((SCRIPT, "thickness=8.0,", "thickness=8.0, overhang=2.5,"),),
    "wider margin": ((SCRIPT, "thickness=8.0,", "thickness=8.0, margin=6.0,"),),
    "scales thicker by five hundredths": ((SCRIPT, "thickness=8.0", "thickness=8.05"),),
    "steel thicker by two hundredths": ((SCRIPT, "thickness: float = 2.0", "thickness: float = 2.02"),),
    "edge thicker by a hundredth": ((SCRIPT, "edge_thickness=0.2", "edge_thickness=0.21"),),
    "blade longer by five hundredths": ((SCRIPT, "blade_length: float = 150.0", "blade_length: float = 150.05"),),
    "mark moved by a tenth": ((SCRIPT, "MarkZone(x=7.0", "MarkZone(x=7.1"),),
    "rounding wider by a tenth": ((SCRIPT, "Rounding(width=3.0", "Rounding(width=3.1"),),
    "sharpened a fifth of a degree wider": ((SCRIPT, "sharpen_deg=13.0", "sharpen_deg=13.2"),),
    "hand that is checked": ((SCRIPT, "hand_breadth=88.0", "hand_breadth=88.4"),),
    "a revision": (in_knife('revision="C"'),),
    "a wanted balance": (in_knife('balance="chef"'),),
    "rule of the rim": importing("HoleRules", in_knife("rules=HoleRules(rim=2.4)")),
    "rule of the web": importing("HoleRules", in_knife("rules=HoleRules(web=2.4)")),
    "rule of the floor": importing("HandleRules", in_knife("handle_rules=HandleRules(floor=0.9)")),
    "other wheels": importing("Shop", in_knife("shop=Shop(contact_wheels=(25.4, 100.0))")),
    "cut by laser": (
        (SCRIPT, _IMPORT, f"{_IMPORT}    Process,\n    Shop,\n"),
        in_knife('shop=Shop(process=Process.named("laser"))'),
    ),
    "cut with an allowance": importing("Cutting", in_knife("cutting=Cutting(allowance=0.4)")),
    "holes cut under size": importing("Cutting", in_knife("cutting=Cutting(undersize=0.3)")),
    "another glue": ((SCRIPT, "clamp_hours=10", "clamp_hours=12"),),
    "glue open for longer": ((SCRIPT, "open_minutes=20", "open_minutes=30"),),
    "the same step in other words": ((SCRIPT, "file first, then cloth lengthwise", "with file and cloth, lengthwise"),),
    "the step later": ((SCRIPT, 'after="finish_grind"', 'after="surface"'),),
    "a step of the maker's own": (
        (
            SCRIPT,
            "STEPS = (\n",
            'STEPS = (\n    AddStep(operation=Operation(key="photo", title="Take its picture"), after="surface"),\n',
        ),
    ),
    "parameter renamed in words": ((SCRIPT, "The knife with any of its main numbers changed", "The petty"),),
    "the maker's note": ((ORDER, "Asked for by letter", "Asked for by a long letter"),),
    "days of work": ((ORDER, "work = 14", "work = 16"),),
    "the plank measured": ((ORDER, 'thickness = "9 mm"', 'thickness = "9.2 mm"'),),
    "what a wish is filed under": ((ORDER, 'concerns = "care"', 'concerns = "handle"'),),
    "a remark in the order": ((ORDER, "# The order for", "# Read over on Monday. The order for"),),
    "dearer hours": ((PRICES, "hour_rate = 42.00", "hour_rate = 50.00"),),
    "another margin": ((PRICES, "margin_percent = 15", "margin_percent = 20"),),
    "cheaper steel": ((PRICES, "per_metre = 4.80", "per_metre = 9.80"),),
    "a deposit that the order rules": ((PRICES, "deposit_percent = 40", "deposit_percent = 30"),),
}
"""Edits that no customer sees."""


@pytest.fixture
def agreed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The petty with its order and a price list, agreed on with the price."""
    for name in (SCRIPT, ORDER, PRICES):
        (tmp_path / name).write_text((EXAMPLES / name).read_text())
    settings = tmp_path / "settings.toml"
    settings.write_text(f'[bladegeom]\nprice_list = "{PRICES}"\nmaker = "the smith"\n')
    monkeypatch.setenv("BLADEGEOM_SETTINGS", str(settings))
    signing = ["agree", str(tmp_path / SCRIPT), "--price", "--signed", "on paper", "--date", "2026-04-03"]
    assert main(signing) == 0
    return tmp_path


def told(folder: Path, edits: tuple[Edit, ...], capsys: pytest.CaptureFixture[str]) -> dict[str, set[str]]:
    """What check says of the agreement after edits, as it is printed: codes by their severity."""
    for name, old, new in edits:
        text = (folder / name).read_text()
        assert old in text, (name, old)
        (folder / name).write_text(text.replace(old, new, 1))
    capsys.readouterr()
    status = main(["check", str(folder / SCRIPT)])
    out, err = capsys.readouterr()
    assert (err, status in (0, 1)) == ("", True), err
    found: dict[str, set[str]] = {"error": set(), "note": set()}
    for severity, code in re.findall(r"^(\w+) \[(agree[\w-]+)\]", out, re.MULTILINE):
        found[severity].add(code)
    assert status == 1 or not found["error"]
    return found


def test_there_are_forty_of_each() -> None:
    assert len(SEEN) >= 40
    assert len(UNSEEN) >= 40


@pytest.mark.long
@pytest.mark.parametrize("name", SEEN)
def test_an_edit_that_shows_is_told_by_the_command_line(
    name: str, agreed: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, edits = SEEN[name]
    assert code in told(agreed, edits, capsys)["error"]


@pytest.mark.long
@pytest.mark.parametrize("name", UNSEEN)
def test_an_edit_that_nobody_sees_is_no_error(name: str, agreed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = told(agreed, UNSEEN[name], capsys)
    assert found["error"] == set()
    assert found["note"] <= {"agreed-but-unseen", "agreed-price-stands"}

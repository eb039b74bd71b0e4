"""WORK and STEPS in a script: where they reach, and what is refused."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from refusals import refusal, unknown

from bladegeom.cli import main
from bladegeom.commands.starter import starter_prices

DESIGN = """
from datetime import date
from bladegeom import *
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.straight import Straight

def design(blade_length: float = 110.0) -> Knife:
    outline = join_halves(DropPoint(blade_length=blade_length), Straight())
    return Knife(
        name="Worked",
        outline=outline,
        stock=Stock(steel="1.4116", thickness=3.5),
        grind=Grind(bevel=AngledBevel(angle_deg=5, edge_thickness=0.4), plunge=Plunge(x=outline.heel[0], radius=4)),
        scales=Scales(slab="NEMA L", thickness=7.0),
    )
"""

WORK = """
WORK = Work(
    finish="hand rubbed",
    glue=Glue(name="epoxy, quick", clamp_hours=7, cure_hours=26, source="its data sheet"),
    treatment=HeatTreatment(
        steel="1.4116", austenitize_c=1043, quench="plates", plates=True, source="the mill's sheet", growth=(0, 0.001)
    ),
)
"""

STEPS = """
STEPS = (
    DropStep(key="template", why="cut by the shop"),
    MoveStep(key="dry_fit", before="surface"),
    AddStep(
        operation=Operation(
            key="blue_spine",
            title="Blue the spine",
            tasks=("Torch, to straw.",),
            blanks=(Number(what="width of the straw", low=2, high=3),),
        ),
        after="finish_grind",
    ),
)
"""

ORDER = """
ORDER = Order(
    number="S-1",
    customer="the ship's cook",
    date=date(2026, 3, 2),
    sheath=Sheath(material="leather", side="right"),
    requirements=(
        Requirement(number=1, text="a blue back", concerns="blade", met=Finish(operation="blue_spine", finish="straw")),
        Requirement(number=2, text="a sheath", concerns="sheath", met=Finish(operation="sheath", finish="undyed")),
    ),
)
"""


def script(folder: Path, *parts: str, name: str = "worked.py") -> str:
    path = folder / name
    path.write_text(DESIGN + "".join(parts))
    return str(path)


@pytest.mark.parametrize(("text", "name", "meant"), [
    (WORK.replace("WORK =", "WORKS ="), "WORKS", "WORK"),
    (WORK.replace("WORK =", "work ="), "work", "WORK"),
    (STEPS.replace("STEPS =", "STEP ="), "STEP", "STEPS"),
    (ORDER.replace("ORDER =", "ORDRE ="), "ORDRE", "ORDER"),
])  # fmt: skip
def test_what_stands_under_another_name_is_not_passed_over(
    tmp_path: Path, text: str, name: str, meant: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", script(tmp_path, text)]) == 2
    line = next(i for i, candidate in enumerate((DESIGN + text).splitlines(), 1) if candidate.startswith(f"{name} ="))
    assert f"line {line}: {name} is read by nobody: call it {meant}" in capsys.readouterr().err


def test_a_helper_value_beside_the_name_is_no_fault(tmp_path: Path) -> None:
    usual = WORK.replace("WORK =", "usual =") + "\nWORK = usual\nsteps = ()\n"
    assert main(["check", script(tmp_path, usual)]) == 0


@pytest.mark.parametrize(("text", "told"), [
    ("WORK = 'satin'", "WORK is 'satin': write WORK = Work("),
    ("WORK = Work", "WORK is Work, the kind itself"),
    ("WORK = Work(glue='epoxy')", refusal("work: glue", "'epoxy'")),
    (
        "WORK = Work(treatment=HeatTreatment(steel='O1', austenitize_c=800, source='x'))",
        refusal("work: treatment", "O1"),
    ),
    ("STEPS = DropStep(key='template')", "STEPS is DropStep(...), and no row of changes"),
    ("STEPS = 'mark'", "STEPS is 'mark', and no row of changes"),
    ("STEPS = (Operation(key='blue', title='Blue'),)", "write AddStep(operation=..., after='surface') round it"),
    ("STEPS = [DropStep(key='template'), 3]", "STEPS holds 3, which changes no step"),
    ("STEPS = [DropStep(key='templat')]", unknown("step of the work", "templat", "template")),
    ("STEPS = [AddStep(operation=Operation(key='cut', title='Cut'), after='cut')]", "a key that no other step has"),
    ("ORDER = 3", "ORDER is 3, not an Order"),
])  # fmt: skip
@pytest.mark.parametrize("command", ["check", "book"])
def test_what_is_no_work_is_refused_with_its_line(
    command: str, text: str, told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = script(tmp_path, "def aside():\n    WORK = STEPS = ORDER = None\n\n", f"{text}\n")
    last = len(Path(path).read_text().splitlines())
    assert main([command, path]) == 2
    error = capsys.readouterr().err
    assert f"worked.py, line {last}: " in error
    assert told in error
    assert error.count("\n") == 1


def test_work_from_a_helper_beside_the_script_is_told_with_the_line_of_its_import(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "our_shop.py").write_text("WORK = 'satin'\n")
    path = script(tmp_path, "from our_shop import WORK\n")
    assert main(["check", path]) == 2
    assert f"worked.py, line {len(Path(path).read_text().splitlines())}: WORK is" in capsys.readouterr().err


def test_the_card_says_what_is_settled(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = script(tmp_path, WORK, STEPS, ORDER)
    assert main(["order", path]) == 0
    assert "step blue_spine: straw" in capsys.readouterr().out
    assert main(["book", path, "--paper", "A4", "--out", str(tmp_path / "out")]) == 0
    (page,) = (tmp_path / "out").glob("*.html")
    text = page.read_text()
    for words in (
        *("hand rubbed", "epoxy, quick", "7 h", "26 h", "1043 C", "its data sheet", "the mill&#x27;s sheet"),
        *("Blue the spine", "Torch, to straw.", "straw (requirement 1)", "width of the straw (Blue the spine)"),
        *("not done: Template (template): cut by the shop", "undyed (requirement 2)", "for the right side"),
    ):
        assert words in text, words
    assert text.index("Scales: drill and fit dry") < text.index("Surface of the blade")


def test_a_broken_order_of_work_keeps_the_cut_file_back_without_any_order(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = script(tmp_path, "STEPS = (MoveStep(key='handle', before='finish_grind'),)\n")
    assert main(["check", path]) == 1
    assert "error [route-order]" in capsys.readouterr().out
    out = tmp_path / "out"
    assert main(["export", path, "--paper", "A4", "--out", str(out)]) == 1
    assert not list(out.glob("*.dxf"))
    assert "NOT RELEASED, errors stand: route-order" in next(out.glob("*_job_card.html")).read_text()


def test_a_step_of_ones_own_must_have_a_price(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    prices = tmp_path / "prices.toml"
    prices.write_text(starter_prices().replace('thickness = "5/32 in"\nheight = 50', "thickness = 3.5\nheight = 50"))
    plain, own = script(tmp_path, name="plain.py"), script(tmp_path, WORK, STEPS)
    assert main(["quote", plain, "--prices", str(prices)]) == 0
    assert "template and order papers" in capsys.readouterr().out
    assert main(["quote", own, "--prices", str(prices)]) == 1
    told = capsys.readouterr().out
    assert "step blue_spine: name it in covers" in told
    assert "template and order papers" not in told
    prices.write_text(prices.read_text().replace('covers = ["surface"]', 'covers = ["surface", "blue_spine"]'))
    assert main(["quote", own, "--prices", str(prices)]) == 0


def test_a_difference_tells_the_work_and_the_card_has_another_mark(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    changed = (WORK + STEPS).replace("clamp_hours=7", "clamp_hours=8").replace("high=3", "high=4")
    old = script(tmp_path, WORK, STEPS, name="old.py")
    new = script(tmp_path, changed.replace(', why="cut by the shop"', "", 1).replace("MoveStep", "# "), name="new.py")
    assert main(["differ", old, new]) == 0
    told = capsys.readouterr().out
    for words in (
        "work, glue, clamp hours: 7 h becomes 8 h",
        "step blue_spine, blanks 1: width of the straw, 2.00 mm (0.079 in) to 3.00 mm (0.118 in) becomes",
        "steps: template dropped",
        "steps: no longer template dropped (cut by the shop)",
        "steps: no longer dry_fit moved, before surface",
    ):
        assert words in told, words
    marks = []
    for path in (old, new, script(tmp_path, name="bare.py")):
        main(["book", path, "--paper", "A4", "--out", str(tmp_path / "out")])
        text = next((tmp_path / "out").glob("*.html")).read_text()
        (mark,) = re.findall(r"Job card of revision <b>([^<]*)</b>", text)
        assert text.count(mark) >= 3
        marks.append(mark)
    design = {mark.partition(", work ")[0] for mark in marks}
    assert len(design) == 1
    assert len(set(marks)) == 3
    assert marks[2] in design
    capsys.readouterr()
    assert main(["differ", old, old]) == 0
    assert "nothing differs" in capsys.readouterr().out


def test_the_same_number_written_otherwise_is_no_difference(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    old = script(tmp_path, WORK, name="old.py")
    new = script(tmp_path, WORK.replace("clamp_hours=7", "clamp_hours=7.0"), name="new.py")
    assert main(["differ", old, new]) == 0
    assert "clamp hours" not in capsys.readouterr().out

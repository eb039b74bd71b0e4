"""What an export writes: parts that are asked for alone, pages that are left out, and what lies there from before."""

from __future__ import annotations

import dataclasses
import json
import pathlib
from functools import cache

import pytest
import specimens
from refusals import assert_tells

from bladegeom import Hole, Knife, ParameterError, UnknownNameError, Work
from bladegeom.cli import main
from bladegeom.commands import export as export_module
from bladegeom.commands.export import NAMES, Exported, export, exported
from bladegeom.design.design import Design
from bladegeom.quantities.file_errors import ExportError
from bladegeom.sheets import sensitivity_chart

A4 = ("A4",)
RIGGING = pathlib.Path(__file__).resolve().parent.parent / "examples" / "rigging_knife.py"


@cache
def rigging() -> Design:
    return dataclasses.replace(Design.from_script(RIGGING), work=Work())


@cache
def whole() -> Exported:
    """All of it."""
    return exported(rigging(), papers=A4)


NOTHING = {"order", "marks"}
"""What a knife without an order, whose mark nobody says how to make, has nothing of."""


def bare(*holes: Hole) -> Knife:
    return specimens.drop_point(holes=holes)


LIGHT = Hole(x=-60.0, y=-14.0, diameter=6.0, purpose="lightening")
FAULTY = Hole(x=-30.0, y=-2.0, diameter=5.0, purpose="lightening")


def test_there_is_something_of_every_name() -> None:
    pages = {"book", "template", "drill", "grind", "handle", "care", "heat_treater", "balance"}
    assert pages | {"job_card", "cut", "proof", "report"} <= set(NAMES)
    kinds = {export_module._kind(name, whole().stem) for name in whole()}
    assert kinds == {"book", "template", "job_card", "cut", "proof", "report"}
    # Of the template there are the pictures alone: its pages stand in the book.
    assert all(name.endswith(".svg") for name in whole() if "_template_" in name)


@pytest.mark.parametrize("name", [name for name in NAMES if name not in NOTHING])
def test_what_is_asked_for_alone_has_the_bytes_of_the_whole(name: str) -> None:
    made = exported(rigging(), papers=A4, only=(name,))
    assert {export_module._kind(file, made.stem) for file in made} == {name, *(["template"] if name == "book" else [])}
    for file in set(made) & set(whole()):
        if not file.endswith("_report.json"):
            assert made[file] == whole()[file]
    assert bool(made.told) == (name == "cut")


def test_parts_that_are_asked_for_together() -> None:
    made = exported(rigging(), papers=A4, only=("report", "drill", "cut"))
    files = {row["path"] for row in json.loads(made["rigging-knife_rev-B_report.json"])["files"]}
    assert files == {name for name in made if "_report." not in name}
    assert {export_module._kind(name, made.stem) for name in files} == {"drill", "cut"}


def test_a_file_of_ones_own_is_none_of_an_export() -> None:
    for name, kind in (("k_cut_steel.dxf", "cut"), ("k_drill_A4.pdf", "drill"), ("k_cutlery.txt", ""), ("k_x.pdf", "")):
        assert export_module._kind(name, "k") == kind


def test_nothing_else_is_worked_out(monkeypatch: pytest.MonkeyPatch) -> None:
    def not_asked(*_rest: object, **_named: object) -> None:
        pytest.fail("worked out though nobody asked for it")

    for module, name in (
        (export_module, "report"),
        (export_module, "proof"),
        (export_module, "card_page"),
        (export_module, "checked_parts"),
        (sensitivity_chart, "what_moves_balance"),
    ):
        monkeypatch.setattr(module, name, not_asked)
    fresh = Design(dataclasses.replace(rigging().knife, name="Another"), work=Work())
    assert len(exported(fresh, papers=A4, only=("drill", "template"))) == 4


def test_a_wrong_name_is_told_with_all_there_are() -> None:
    with pytest.raises(UnknownNameError) as caught:
        exported(rigging(), only=("drill", "zzz"))
    assert_tells(str(caught.value), "'zzz'", *sorted(NAMES)[:10], " more")
    for wrong in ("drill", (), (1,)):
        with pytest.raises(ParameterError, match="only"):
            exported(rigging(), only=wrong)  # type: ignore[arg-type]


def test_a_page_without_anything_to_show_is_told() -> None:
    with pytest.raises(ExportError, match="'handle'"):
        exported(Design(bare()), papers=A4, only=("template", "handle"))


def test_pages_of_the_balance_are_written_where_they_are_asked_for() -> None:
    design = Design(bare(LIGHT))
    made = exported(design, papers=A4)
    assert not any("_balance_" in name for name in made)
    assert "study" in made.left_out["balance"]
    assert len(exported(design, papers=A4, only=("balance",))) == 1


SCRIPT = """
import sys
sys.path.insert(0, {tests!r})
import specimens
from bladegeom import Hole


def design(x: float = {x}):
    return specimens.drop_point(holes=(Hole(x=x, y={y}, diameter=6.0, purpose={purpose!r}),))
"""


def script(folder: pathlib.Path, *, purpose: str = "lanyard", x: float = -60.0, y: float = -14.0) -> pathlib.Path:
    path = folder / "knife.py"
    tests = str(pathlib.Path(__file__).parent)
    path.write_text(SCRIPT.format(tests=tests, x=x, y=y, purpose=purpose), encoding="utf-8")
    return path


def run(capsys: pytest.CaptureFixture[str], path: pathlib.Path, *options: str) -> tuple[int, list[str]]:
    status = main(["export", str(path), "--paper", "A4", "--out", str(path.parent / "out"), *options])
    return status, capsys.readouterr().out.splitlines()


def left(lines: list[str]) -> set[str]:
    return {line.rpartition("specimen_rev-A_")[2] for line in lines if line.startswith("left from an earlier export")}


def test_the_command_tells_what_it_left_out(tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = script(tmp_path)
    status, lines = run(capsys, path)
    assert status == 0
    assert [line for line in lines if "--only balance" in line] == [
        "balance pages left out: a study of what moves the balance, not for the bench; --only balance prints them"
    ]
    status, lines = run(capsys, path, "--only", "balance")
    assert (status, len(lines)) == (0, 1)
    assert lines[0].endswith("specimen_rev-A_balance_A4.pdf")
    assert left(run(capsys, path)[1]) == {"balance_A4.pdf"}


def test_what_was_not_asked_for_is_left_over_only_from_another_state(
    tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = script(tmp_path)
    run(capsys, path)
    assert left(run(capsys, path, "--only", "drill")[1]) == set()
    # The hole has moved: what a program can read of the files from before says so.
    script(tmp_path, x=-61.0)
    told = left(run(capsys, path, "--only", "drill")[1])
    assert {name for name in told if not name.startswith("cut_steel_")} == {"template_A4.svg", "proof.html"}
    assert [name.rpartition(".")[2] for name in told if name.startswith("cut_steel_")] == ["dxf"]
    # Of what was asked for, that is told which was not written anew: the paper is another one.
    status = main(["export", str(path), "--paper", "Letter", "--out", str(tmp_path / "out"), "--only", "drill"])
    assert status == 0
    assert "drill_A4.pdf" in left(capsys.readouterr().out.splitlines())


def test_an_agreement_is_old_only_for_another_state(tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = script(tmp_path)
    assert main(["agree", str(path), "--paper", "A4", "--out", str(tmp_path / "out")]) == 0
    assert left(run(capsys, path)[1]) == set()
    script(tmp_path, x=-61.0)
    assert "agreement.html" in left(run(capsys, path)[1])


def test_what_is_asked_for_alone_is_held_back_all_the_same(
    tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = script(tmp_path, purpose="lightening", x=-30.0, y=-2.0)
    status, lines = run(capsys, path, "--only", "cut")
    assert status == 1
    assert not (tmp_path / "out").exists()
    assert any("hole-outside" in line for line in lines)
    assert run(capsys, path, "--only", "template")[0] == 1
    (page,) = (tmp_path / "out").glob("*_template_A4.svg")
    assert "NOT RELEASED" in page.read_text(encoding="utf-8")
    assert export(Design(bare(FAULTY)), tmp_path / "none", papers=A4, only=("cut",)) == ()

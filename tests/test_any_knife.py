"""Whatever check passes, every paper and cut file can be written; whatever it finds, the papers still can."""

from __future__ import annotations

from pathlib import Path

import any_knives
import numpy as np
import pytest
import specimens
from draws import draws
from hypothesis import given, reject
from hypothesis import strategies as st

from bladegeom.cli import main
from bladegeom.commands.export import exported
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Circle
from bladegeom.findings.check import check
from bladegeom.handle.hand import hand_guides
from bladegeom.handle.section import handle_sections
from bladegeom.knife.finding import Finding
from bladegeom.outline.halves import BladeProfile, HandleProfile
from bladegeom.outline.outline import Outline, join_halves
from bladegeom.profiles import get
from bladegeom.quantities.errors import BladegeomError
from bladegeom.sheets.proof_marks import finding_marks


@pytest.mark.long
@draws(2, long=100)
@given(st.data())
def test_whatever_check_passes_export_writes(data: st.DataObject) -> None:
    try:
        knife = data.draw(any_knives.knives())
    except BladegeomError:
        # No knife at all, which the library says itself.
        reject()
    made = exported(Design(knife), papers=("A3",))
    assert {name.rpartition(".")[2] for name in made} >= {"pdf", "svg", "html", "json", "txt"}
    assert any(name.endswith(".dxf") for name in made) == Design(knife).released


def with_handle(name: str, blade_name: str = "drop_point") -> Outline:
    blade, handle = get(blade_name)(), get(name)()
    assert isinstance(blade, BladeProfile)
    assert isinstance(handle, HandleProfile)
    return join_halves(blade, handle)


@pytest.mark.parametrize("handle", any_knives.HANDLES)
def test_a_finding_at_the_very_end_of_the_steel_has_a_mark(handle: str) -> None:
    """At the extreme of butt or tip, and beyond them, no steel has a height."""
    knife = specimens.ground(with_handle(handle), height=10.0)
    x0, _, x1, _ = knife.outline.bounds
    at = (x0 - 9.0, x0, 0.0, x1, x1 + 9.0)
    found = [Finding(code="a", severity="note", part="blade", message="", x=x) for x in at]
    dots = [item for mark in finding_marks(knife, found, ()) for item in mark.items if isinstance(item, Circle)]
    assert np.isfinite([(dot.x, dot.y) for dot in dots]).all()
    assert {dot.x for dot in dots} >= set(at)


def test_a_tang_in_a_block_has_no_handle_beside_the_hand() -> None:
    knife = specimens.ground(with_handle("stick_tang"), height=10.0, hand_breadth=88.0, front_lean_deg=8.0)
    assert hand_guides(knife) == ()
    assert [(f.severity, f.code) for f in check(knife) if f.part == "handle"] == [("note", "handle-not-told")]


def test_a_front_that_leans_over_the_shoulders_of_a_stick_tang_is_checked() -> None:
    knife = specimens.ground(with_handle("stick_tang", "skinner"), height=10.0, hand_breadth=88.0, front_lean_deg=12.5)
    assert not knife.handle_region.is_valid
    assert [f.code for f in check(knife) if f.part == "handle"] == ["handle-not-told"]
    assert handle_sections(knife) == ()


def test_an_empty_size_of_a_bar_is_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.syspath_prepend(str(Path(__file__).parent))
    Path("k.py").write_text("import specimens\n\ndef design():\n    return specimens.drop_point()\n")
    assert main(["nest", "k.py", "--bar", ""]) == 2
    assert capsys.readouterr().err.startswith("bladegeom: --bar is ''")


def test_a_folder_that_is_gone_is_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    assert main(["check", "k.py"]) == 2
    assert capsys.readouterr().err.count("\n") == 1

"""A bevel declared by its heights alone reaches every place where the library's own bevels are told."""

from __future__ import annotations

import dataclasses
import json
import math
import re
import sys
import textwrap
from dataclasses import dataclass
from pathlib import Path
from typing import Any, ClassVar

import numpy as np
import pytest
from own_hollow import OwnHollow
from refusals import assert_tells
from specimens import bar_outline, drop_point, ground
from told_grind import lines_told

from bladegeom import (
    AngledBevel,
    BevelToLine,
    ByHeights,
    ConvexBevel,
    ConvexEdge,
    Face,
    FlatBevel,
    FullFlat,
    Grind,
    HollowBevel,
    Knife,
    Plunge,
    SamplePoints,
    Shop,
    check,
    line,
    weigh,
    what_moves_balance,
)
from bladegeom.checks.edge import check_edge
from bladegeom.checks.steel import check_steel
from bladegeom.checks.wheel import check_wheel
from bladegeom.cli import main
from bladegeom.curves.curve import FloatArray
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.grind_summary import grind_summary
from bladegeom.knife.bevels import by_heights
from bladegeom.quantities.errors import ParameterError
from bladegeom.studies.difference import declared_changes

HEIGHT, EDGE, HALF, LONG, HIGH = 18.0, 0.5, 2.0, 200.0, 30.0
RISE = HALF - EDGE / 2
CHORD = math.hypot(HEIGHT, RISE)


def bar(face: Face | tuple[Face, ...], **more: Any) -> Knife:
    """A bar 4 mm thick, 200 mm long and 30 mm high ahead of its plunge line."""
    return dataclasses.replace(ground(bar_outline()), grind=Grind(bevel=face, plunge=Plunge(x=0.0), **more))


def depth_of(wheel: float) -> float:
    """Depth of a parabola with the sagitta of a wheel under the chord, told upright.

    Source: closed form, sagitta R - sqrt(R^2 - c^2 / 4).
    """
    return (wheel / 2 - math.sqrt(wheel**2 - CHORD**2) / 2) * CHORD / HEIGHT


def own(wheel: float = 254.0, **more: Any) -> OwnHollow:
    return OwnHollow(**{"depth": depth_of(wheel), "height": HEIGHT, "edge_thickness": EDGE, **more})


@dataclass(frozen=True, kw_only=True)
class Law(ByHeights):
    """A straight rise from edge to grind line, and lobes beside it."""

    swing: float
    lobes: int = 1
    height: float = HEIGHT
    edge_thickness: float = EDGE
    kind: ClassVar[str] = "own law"

    def surface(self, at: SamplePoints) -> FloatArray:
        low, share = at.edge_height(self.edge_thickness), at.from_edge / self.height
        swing = self.swing * np.abs(np.sin(math.pi * self.lobes * share)) * (share < 1)
        return np.asarray(low + (at.stock - low) * share + swing)


def test_its_own_section_says_whether_it_is_flat_and_on_which_wheel() -> None:
    for swing, flat, hollow in ((0.0, True, False), (0.004, True, False), (0.1, False, False), (-0.2, False, True)):
        face = Law(swing=swing)
        sheet = GrindSheet(bar(face))
        assert sheet.is_flat(face) is flat
        assert (face.wheel(sheet.section(face)) is not None) is hollow
    parabola = own(254.0)
    wheel = parabola.wheel(GrindSheet(bar(parabola)).section(parabola))
    assert wheel is not None
    # The parabola has the wheel's own sagitta; that it is no circle shifts it by the square of its slope.
    assert wheel.diameter == pytest.approx(254.0, rel=0.01)
    assert wheel.least < 254.0 < wheel.greatest
    assert wheel.strays < 0.001
    # Source: closed form, c^2 / 4s + s, for sagittas a hundredth more and less.
    sagitta = wheel.diameter / 2 - math.sqrt(wheel.diameter**2 - CHORD**2) / 2
    for end, s in ((wheel.least, sagitta + 0.01), (wheel.greatest, sagitta - 0.01)):
        assert end == pytest.approx(CHORD**2 / (4 * s) + s, rel=1e-6)


@pytest.mark.parametrize("wheel", [100.0, 254.0, 355.0, 900.0])
def test_a_circle_by_heights_is_found_again(wheel: float) -> None:
    declared = HollowBevel(wheel_diameter=wheel, height=HEIGHT, edge_thickness=EDGE)

    @dataclass(frozen=True)
    class Copy(ByHeights):
        kind: ClassVar[str] = "copy"
        height: float = HEIGHT
        edge_thickness: float = EDGE

        def surface(self, at: SamplePoints) -> FloatArray:
            return declared.surface(at)

    face = Copy()
    found = face.wheel(GrindSheet(bar(face)).section(face))
    assert found is not None
    assert found.diameter == pytest.approx(wheel, rel=1e-6)
    assert found.strays == pytest.approx(0.0, abs=1e-6)


def test_the_wheel_check_asks_the_face() -> None:
    for wheel, codes in ((254.0, []), (180.0, ["no-such-wheel"])):
        assert [
            finding.code
            for finding in check_wheel(
                bar(
                    own(wheel),
                )
            )
        ] == codes
    (found,) = check_wheel(bar(own(180.0)))
    assert found.measured == pytest.approx(180.0, rel=0.02)
    assert found.limit in Shop().contact_wheels
    # Two hollows in one face: no wheel leaves them.
    (strays,) = check_wheel(bar(Law(swing=-0.15, lobes=2)))
    assert strays.code == "hollow-on-no-wheel"
    assert strays.measured is not None
    assert strays.measured > 0.05
    assert not list(check_wheel(bar(Law(swing=0.1))))


def test_no_jig_wedge_is_told_of_it_and_its_angle_is_a_chords() -> None:
    words = " ".join(lines_told(bar(own())))
    assert "Jig wedge" not in words
    assert "(chord)" in words
    assert "own hollow, depth" in words
    assert re.search(r"lies on a wheel of 25\d\.\d\d mm .* wheels of 2[34]\d\.\d\d to 2[67]\d\.\d\d mm leave it", words)
    assert "no single wheel" in " ".join(lines_told(bar(Law(swing=-0.15, lobes=2))))
    declared = HollowBevel(wheel_diameter=254.0, height=HEIGHT, edge_thickness=EDGE)
    assert "lies on" not in " ".join(lines_told(bar(declared)))
    assert "Jig wedge" in " ".join(lines_told(bar(Law(swing=0.0))))
    summary = grind_summary(bar(own()))
    assert summary["chord"] is True
    assert summary["angle_per_side"] == pytest.approx(math.degrees(math.atan(RISE / HEIGHT)), abs=1e-3)
    assert summary["each_face"][0]["declared"] == {"depth": own().depth, "height": HEIGHT, "edge_thickness": EDGE}


def test_it_weighs_what_its_cells_add_up_to() -> None:
    """Cells in closed form: chord and parabola over the height, flat stock above, both sides alike."""
    d = (np.arange(200_000) + 0.5) / 200_000 * HIGH
    share = d / HEIGHT
    law = EDGE / 2 + RISE * share - 4 * depth_of(254.0) * share * (1 - share)
    z = np.where(d < HEIGHT, np.clip(law, 0.0, HALF), HALF)
    cells = 2 * LONG * HIGH * float(z.mean()) + 100.0 * HIGH * 2 * HALF
    assert weigh(bar(own())).finished.amount == pytest.approx(cells, rel=5e-6)


def test_another_height_is_tried_and_told() -> None:
    rows = {
        sensitivity.change: sensitivity
        for sensitivity in what_moves_balance(weigh(bar(own())))
        if sensitivity.name == "bevel height"
    }
    assert len(rows) == 2
    for height in (HEIGHT + 2, HEIGHT - 2):
        (row,) = (sensitivity for change, sensitivity in rows.items() if change.startswith(f"{height:.2f} mm"))
        assert row.knife == bar(own(height=height))
        assert row.mass == pytest.approx(weigh(bar(own(height=height))).total.amount)


def test_a_convex_edge_lies_under_it_and_goes_with_its_height() -> None:
    low = ConvexEdge(under=own(), height=3.0, edge_thickness=0.3, bulge=0.02)
    lowest = ConvexEdge(under=low, height=1.5, edge_thickness=0.2, bulge=0.005)
    knife = bar(lowest)
    assert knife.grind.faces == (own(), low, lowest)
    (row,) = (
        sensitivity
        for sensitivity in what_moves_balance(weigh(knife))
        if sensitivity.change.startswith(f"{HEIGHT + 2:.2f} mm")
    )
    assert row.knife is not None
    assert [face.kind for face in row.knife.grind.faces] == ["own hollow", "convex edge", "convex edge"]
    assert row.knife.grind.faces[0] == own(height=HEIGHT + 2)


def test_thin_walls_in_its_hollow_are_found() -> None:
    (found,) = (finding for finding in check_steel(bar(own(depth=0.6))) if finding.code == "thin-wall")
    # Source: closed form: EDGE / 2 + RISE u - 4 depth u (1 - u) is least at u = (4 depth - RISE) / (8 depth).
    u = (4 * 0.6 - RISE) / (8 * 0.6)
    assert found.measured == pytest.approx(2 * (EDGE / 2 + RISE * u - 4 * 0.6 * u * (1 - u)), abs=1e-3)
    assert {finding.code for finding in check(bar(own()))} == {finding.code for finding in check(ground(bar_outline()))}
    assert not list(check_edge(bar(own())))


def test_a_change_of_it_is_told_in_words() -> None:
    (told,) = declared_changes(bar(own()), bar(own(height=20.0)))
    assert "height" in told
    assert "18.00 mm" in told
    assert "20.00 mm" in told


@pytest.mark.parametrize(
    "face",
    [
        FlatBevel(height=HEIGHT, edge_thickness=EDGE),
        AngledBevel(angle_deg=5.0, edge_thickness=EDGE),
        FullFlat(edge_thickness=EDGE),
        BevelToLine(line=line((0.0, -10.0), (200.0, -10.0)), edge_thickness=EDGE),
        HollowBevel(wheel_diameter=254.0, height=HEIGHT, edge_thickness=EDGE),
        ConvexBevel(height=HEIGHT, edge_thickness=EDGE, bulge=0.2),
        ConvexEdge(under=FullFlat(edge_thickness=0.6), height=3.0, edge_thickness=EDGE, bulge=0.02),
    ],
    ids=lambda face: face.kind,
)
def test_every_face_answers_as_its_heights_would(face: Face) -> None:
    """What the library's own faces declare is what is read from their heights."""
    if face.height is None:
        with pytest.raises(ParameterError, match="it has none"):
            face.of_height(5.0)
    else:
        assert face.of_height(face.height) == face
    sheet = GrindSheet(bar(face))
    section = sheet.section(face)
    assert face.is_flat(section) == ByHeights.is_flat(face, section)
    by_heights, declared = ByHeights.wheel(face, section), face.wheel(section)
    assert (by_heights is None) == (declared is None)
    if by_heights is not None and declared is not None:
        assert by_heights.diameter == pytest.approx(declared.diameter, rel=1e-5)


def test_the_example_in_the_docstring_runs() -> None:
    block = (by_heights.__doc__ or "").partition("::\n")[2].partition("\n``at.from_edge``")[0]
    names: dict[str, Any] = {"__name__": __name__}
    exec(textwrap.dedent(block), names)  # our own docstring
    assert names["grind"].kind == "parabola"
    knife = dataclasses.replace(drop_point(), grind=names["grind"])
    assert GrindSheet(knife).first.grind_line == pytest.approx(16.0, abs=1e-3)


class Bare:
    """Neither a dataclass, nor whole."""

    kind = "bare"
    edge_thickness = EDGE

    def surface(self, at: SamplePoints) -> FloatArray:
        return at.stock


def test_half_a_face_is_refused_with_what_it_lacks() -> None:
    with pytest.raises(ParameterError) as caught:
        bar(Bare())  # type: ignore[arg-type]  # mypy says so too
    assert_tells(str(caught.value), "@dataclass(frozen=True)", "height", "lies_under", "is_flat")

    @dataclass
    class Thawed(ByHeights):
        height: float = HEIGHT
        edge_thickness: float = EDGE
        kind: ClassVar[str] = "thawed"

        def surface(self, at: SamplePoints) -> FloatArray:
            return at.stock

    with pytest.raises(ParameterError) as caught:
        bar(Thawed())
    assert_tells(str(caught.value), "@dataclass(frozen=True)")


EXAMPLES = Path(__file__).resolve().parent.parent / "examples"

SCRIPT = f"""
import dataclasses, sys
sys.path[:0] = [{str(Path(__file__).parent)!r}, {str(EXAMPLES)!r}]
from own_hollow import OwnHollow
import rigging_knife


def design(bevel_height: float = 15.0):
    knife = rigging_knife.design()
    face = OwnHollow(depth=0.2, height=bevel_height, edge_thickness=0.4)
    return dataclasses.replace(knife, grind=dataclasses.replace(knife.grind, bevel=face))
"""


def test_the_whole_export_works(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every sheet, cut file and report of a knife with it."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "path", sys.path.copy())
    Path("own.py").write_text(SCRIPT)
    assert main(["export", "own.py", "--out", "out", "--paper", "A4"]) == 0
    assert len(list(Path("out").iterdir())) >= 10
    assert list(Path("out").glob("*_book_A4.pdf"))
    (report,) = Path("out").glob("*.json")
    told = json.loads(report.read_text())
    assert (told["grind"]["kind"], told["grind"]["chord"]) == ("own hollow", True)
    assert {finding["code"] for finding in told["findings"]} & {"no-such-wheel"}
    assert sum(sensitivity["name"] == "bevel height" for sensitivity in told["levers"]) == 2

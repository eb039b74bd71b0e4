"""Knots in a text file: the same outline as from a script, and a message with table and knot for every slip."""

from __future__ import annotations

from pathlib import Path

import pytest
from draws import draws
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.curves.build import line, spline
from bladegeom.curves.curve import join
from bladegeom.importers.toml_outline import outline_from_toml
from bladegeom.quantities.errors import BladegeomError
from bladegeom.quantities.file_errors import UnreadableFileError

TEXT = """
unit = "mm"
[edge]
knots = [[9, -28], [50, -28.3], ["4-21/64 in", -10]]
start_deg = 0
end_deg = 60
[spine]
knots = [[109.9344, -10], [60, -1], [0, 0]]
end_deg = 180
[handle_top]
knots = [[0, 0, 180], [-50, 2], [-110, -3]]
[butt]
knots = [[-110, -3], [-112, -15, "corner"], [-108, -27]]
[handle_underside]
knots = [[-108, -27], [-50, -24, 5.0], [0, -22]]
[choil]
knots = [[0, -22], [5, -23], [9, -28]]
"""


def read(tmp_path: Path, text: str):  # type: ignore[no-untyped-def]
    path = tmp_path / "knife.toml"
    path.write_text(text, encoding="utf-8")
    return outline_from_toml(path)


def test_the_same_as_in_python(tmp_path: Path) -> None:
    outline = read(tmp_path, TEXT)
    tip = (109.9344, -10.0)  # 4-21/64 in
    assert outline.edge.pieces == pytest.approx(
        spline([(9, -28), (50, -28.3), tip], start_deg=0, end_deg=60).pieces, abs=1e-4
    )
    top = spline([(0, 0), (-50, 2), (-110, -3)], start_deg=180)
    assert outline.handle_top.pieces == pytest.approx(top.pieces)
    assert outline.butt.pieces == pytest.approx(line((-110, -3), (-112, -15), (-108, -27)).pieces)
    under = join(spline([(-108, -27), (-50, -24)], end_deg=5.0), spline([(-50, -24), (0, -22)], start_deg=5.0))
    assert outline.handle_underside.pieces == pytest.approx(under.pieces)


def test_in_inch(tmp_path: Path) -> None:
    text = TEXT.replace('unit = "mm"', 'unit = "in"').replace('"4-21/64 in"', "109.9344")
    assert read(tmp_path, text).bounds == pytest.approx([25.4 * v for v in read(tmp_path, TEXT).bounds], rel=1e-4)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("[50, -28.3]", "[50]", r"\[edge\] knot 2: write \[x, y\]"),
        ("[50, -28.3]", '[50, "-28,3"]', r"\[edge\] knot 2: .*decimal point, not a comma"),
        ("[50, -28.3]", "[50, true]", r"\[edge\] knot 2: .*yes or no"),
        ("[50, -28.3]", "[9, -28]", r"\[edge\] two points of a curve that follow each other are the same"),
        ('"corner"', '"sharp"', r"\[butt\] knot 2: 'sharp' is no direction"),
        ("end_deg = 60", "end_deg = 900", r"\[edge\] end_deg: '900' is no direction"),
        ("end_deg = 60", "end = 60", r"\[edge\] takes knots, start_deg and end_deg"),
        ('unit = "mm"', 'unit = "furlong"', "'furlong'.* mm, cm, in"),
        ("[choil]", "[notch]", r"lacks \[choil\]"),
        ('unit = "mm"', "colour = 1", "has 'colour', which means nothing here"),
        ("[[0, -22], [5, -23], [9, -28]]", "[[0, -22]]", r"\[choil\] knots: write 2 to 200"),
        ("[[0, -22], [5, -23], [9, -28]]", "[[0, -22], [5, -23], [8, -28]]", "the choil ends 1 mm away from where"),
        ("[choil]", "[choil", "is no TOML"),
        ("end_deg = 60", "end_deg = " + "9" * 5000, "is no TOML"),
        ("end_deg = 60", "end_deg = " + "[" * 5000, "is no TOML"),
        ("[-112, -15", "[-60, -60", "crosses itself"),
    ],
)
def test_slips(old: str, new: str, message: str, tmp_path: Path) -> None:
    assert old in TEXT
    with pytest.raises(UnreadableFileError, match=message):
        read(tmp_path, TEXT.replace(old, new))


@given(cut=st.integers(0, len(TEXT)), noise=st.text(max_size=5))
@draws(30)
def test_damaged_files_give_an_outline_or_a_message(
    cut: int, noise: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.mktemp("t") / "x.toml"
    path.write_bytes((TEXT[:cut] + noise + TEXT[cut + len(noise) :]).encode("utf-8", errors="replace"))
    try:
        outline_from_toml(path)
    except BladegeomError as error:
        assert "x.toml" in str(error)  # noqa: PT017

"""The drawing model and its lettering: bounds that hold, text that keeps to its room, nothing unprintable."""

from __future__ import annotations

import dataclasses
import io
import math
import unicodedata

import numpy as np
import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase.pdfmetrics import stringWidth
from strategies import curves, headings, vectors

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, Vector, points
from bladegeom.drawing.drawing import Circle, Drawing, Item, Label, Path
from bladegeom.quantities.face import face
from bladegeom.quantities.lettering import EM, lacking, one_line, text_width, wrapped

PRINTABLE = "".join(chr(c) for c in range(32, 127))
texts = st.text(max_size=40)


def drawing(*items: Item) -> Drawing:
    return Drawing(name="x", items=items)


@pytest.mark.parametrize("bold", [False, True])
def test_letters_and_widths_are_those_of_the_face(bold: bool) -> None:  # noqa: FBT001
    # Source: the face's own tables as fontTools reads them.
    font = TTFont(io.BytesIO(face(bold=bold).data))
    shapes, widths, em = font.getBestCmap(), font["hmtx"], font["head"].unitsPerEm
    for code in range(0x20, 0x2600):
        letter, had = chr(code), face(bold=bold).width(chr(code))
        if code not in shapes:
            assert had is None
        elif had is None:
            assert unicodedata.bidirectional(letter) == "R" or unicodedata.category(letter)[0] == "M"
        else:
            assert had == pytest.approx(1000 * widths[shapes[code]][0] / em, abs=1e-9)


def test_widths_are_helveticas() -> None:
    # Source: reportlab's own metrics of the standard PDF fonts (Adobe Core 14 AFM), in whole thousandths of an em.
    for name, bold in (("Helvetica", False), ("Helvetica-Bold", True)):
        for character in PRINTABLE:
            told = stringWidth(character, name, 1.0)
            assert text_width(character, 1 / EM, bold=bold) == pytest.approx(told, abs=5e-4), character


def test_letters_of_latin_greek_and_cyrillic_are_there() -> None:
    assert lacking("Ji\u0159\u00ed \u0150 \u0395\u03bb\u03bb\u03ac\u03b4\u03b1 \u0416\u0443\u043a") == ()
    assert lacking("\u2116 \u00b1 \u2264 \u2192") == ()
    # All of ASCII, beside a letter that is none.
    assert lacking("".join(map(chr, range(128))) + "\u00b1") == ()
    # Hebrew stands in the file, and would be printed from the wrong end.
    assert lacking("a\u05e9b\u5305a\u05e9") == ("\u05e9", "\u5305")


@given(texts, st.floats(5.0, 100.0))
def test_wrapped_text_keeps_all_letters_and_the_width(text: str, width: float) -> None:
    lines = wrapped(text, 2.4, width)
    assert "".join(lines).replace(" ", "") == "".join(one_line(text).split())
    # A single letter of 1 em is 2.67 mm wide and always fits.
    assert all(text_width(part, 2.4) <= width for part in lines)


def test_a_number_keeps_its_unit_and_x_its_place() -> None:
    text = "edge, 0.20 mm (0.008 in), at x 15.0 and x 25.0"
    for width in range(25, 80):
        lines = wrapped(text, 2.4, float(width))
        assert " ".join(lines) == text
        assert not any(line.startswith(("mm", "in)")) or line.endswith("x") for line in lines)


@pytest.mark.parametrize(
    ("text", "width", "expected"),
    [
        ("plain", 100.0, ["plain"]),
        ("one two three", 14.0, ["one two", "three"]),
        ("", 10.0, [""]),
        ("two\nlines\tand more", 100.0, ["two lines and more"]),
    ],
)
def test_wrapped_breaks_between_words(text: str, width: float, expected: list[str]) -> None:
    assert wrapped(text, 2.4, width) == expected


def test_a_word_wider_than_the_page_is_broken() -> None:
    assert wrapped("aaaa", 2.4, text_width("aaa", 2.4)) == ["aaa", "a"]


@pytest.mark.parametrize("nasty", ["a\x00b", "a\nb", "a\x1bb", "a\ud800b", "a\ufffeb", "a\u2028b", "a\u00a0b"])
def test_label_shows_a_space_for_what_no_page_can_show(nasty: str) -> None:
    assert Label(layer="NOTE", x=0, y=0, text=nasty).text == "a b"


@given(texts, vectors(), headings, st.sampled_from(["start", "middle", "end"]))
def test_label_box_turns_with_the_text(text: str, place: Vector, angle: float, anchor: str) -> None:
    x, y = place
    label = Label(layer="NOTE", x=x, y=y, text=text, height=3.0, angle_deg=angle, anchor=anchor)  # type: ignore[arg-type]
    a, b, c, _ = label.corners
    along = np.array([math.cos(math.radians(angle)), math.sin(math.radians(angle))])
    width = text_width(label.text, 3.0)
    np.testing.assert_allclose(b - a, width * along, atol=1e-9)
    # 1.25: a quarter below the base line and one height above it.
    np.testing.assert_allclose(c - b, 3.75 * np.array([-along[1], along[0]]), atol=1e-9)
    share = {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
    base = a + 0.75 * np.array([-along[1], along[0]])
    np.testing.assert_allclose(base + share * width * along, place, atol=1e-9)


@given(curves(), headings, vectors())
def test_turning_and_moving_a_path_moves_its_points(curve: Curve, angle: float, by: Vector) -> None:
    t = np.linspace(0, len(curve), 9)
    moved = drawing(Path(layer="CUT", curve=curve)).turned(angle).moved(*by).items[0]
    assert isinstance(moved, Path)
    a = math.radians(angle)
    turn = np.array([[math.cos(a), -math.sin(a)], [math.sin(a), math.cos(a)]])
    np.testing.assert_allclose(points(moved.curve, t), points(curve, t) @ turn.T + np.array(by), atol=1e-9)


def test_turning_and_moving_circle_and_label() -> None:
    before = drawing(Circle(layer="CUT", x=3, y=4, radius=2), Label(layer="NOTE", x=3, y=4, text="a", angle_deg=10))
    circle, label = before.turned(90).moved(1, 2).items
    assert isinstance(circle, Circle)
    assert isinstance(label, Label)
    # (3, 4) turned left by a quarter is (-4, 3).
    assert (circle.x, circle.y, circle.radius) == pytest.approx((-3, 5, 2))
    assert (label.x, label.y, label.angle_deg) == pytest.approx((-3, 5, 100))


@given(curves())
def test_bounds_hold_every_point_of_a_path(curve: Curve) -> None:
    x0, y0, x1, y1 = drawing(Path(layer="CUT", curve=curve)).bounds
    xy = points(curve, np.linspace(0, len(curve), 200))
    assert (xy >= np.array([x0, y0]) - 1e-9).all()
    assert (xy <= np.array([x1, y1]) + 1e-9).all()


@given(curves(), vectors(), st.floats(-90.0, 90.0))
def test_each_item_has_its_own_box_and_moves_with_all_that_it_says(curve: Curve, by: Vector, angle: float) -> None:
    path = Path(layer="CUT", curve=curve, closed=True, filled=True)
    others: tuple[Circle | Label, ...] = (
        Circle(layer="DRILL", x=3.0, y=4.0, radius=2.0, filled=True),
        Label(layer="NOTE", x=1.0, y=2.0, text="turned", angle_deg=angle, anchor="end", bold=True),
        Label(layer="NOTE", x=1.0, y=2.0, text="upright", height=2.0),
    )
    items = (path, *others)
    assert drawing(*items).boxes.tolist() == [list(drawing(item).bounds) for item in items]
    moved = (
        dataclasses.replace(path, curve=curve.moved(*by)),
        *(dataclasses.replace(item, x=item.x + by[0], y=item.y + by[1]) for item in others),
    )
    assert drawing(*items).moved(*by).items == moved


@given(vectors(), st.floats(0.1, 50.0), headings)
def test_points_hold_a_circle_seen_from_any_side(centre: Vector, radius: float, angle: float) -> None:
    a = math.radians(angle)
    way = np.array([math.cos(a), math.sin(a)])
    reach = (drawing(Circle(layer="CUT", x=centre[0], y=centre[1], radius=radius)).points - np.array(centre)) @ way
    assert reach.max() >= radius * (1 - 1e-12)
    # 1 / cos(11.25 degrees): the corners of a sixteen-sided hull about the circle.
    assert reach.max() <= radius / math.cos(math.pi / 16) * (1 + 1e-9)


def test_a_drawing_is_a_value() -> None:
    drawn = drawing(Path(layer="CUT", curve=line((0, 0), (1, 0))))
    assert drawn == drawing(Path(layer="CUT", curve=line((0, 0), (1, 0))))
    with pytest.raises(dataclasses.FrozenInstanceError):
        drawn.name = "other"  # type: ignore[misc]

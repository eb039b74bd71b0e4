"""SVG from anywhere: true size, every command, nested transforms, the right line, hostile files refused in time."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import specimens
import traces
from draws import draws
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_tells

from bladegeom.curves.bounding_box import bounding_box
from bladegeom.curves.curve import Curve, points
from bladegeom.curves.meet import nearest
from bladegeom.cutfile.cut import cut_drawing
from bladegeom.importers.svg_outline import outline_from_svg
from bladegeom.importers.svg_path import subpaths
from bladegeom.importers.svg_place import transform
from bladegeom.knife.knife import Knife
from bladegeom.outline.landmarks import Landmarks, mapped_point
from bladegeom.placing.place import add_fasteners, add_lightening_row
from bladegeom.quantities.errors import BladegeomError, ParameterError
from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.sheets.template import template_drawing
from bladegeom.writers.svg import svg_of_drawing

BACK = 1e-3
"""Files have four decimals; what is read back is that true, mm."""

NAMES = [f"{blade} {handle}" for blade in specimens.BLADES for handle in specimens.HANDLES]


@cache
def knife(name: str) -> Knife:
    if name == "recurve":
        return specimens.recurve()
    return add_lightening_row(add_fasteners(specimens.profile(*name.split()), specimens.pins("1/4"), count=2))


@pytest.mark.parametrize("name", [*NAMES, "recurve"])
def test_our_own_drawing_comes_back(name: str, tmp_path: Path) -> None:
    specimen = knife(name)
    path = tmp_path / "cut.svg"
    path.write_bytes(svg_of_drawing(cut_drawing(specimen)))
    x0, y0, *_ = specimen.outline.bounds
    back = outline_from_svg(path, traces.marks_of(specimen.outline, lambda p: (p[0] - x0, y0 - p[1])))
    assert traces.apart(back.outline.loop, specimen.outline.loop) < BACK
    assert [len(c) for c in back.outline.curves] == [len(c) for c in specimen.outline.curves]
    told = sorted((round(c.x, 2), round(c.y, 2), round(c.diameter, 2)) for c in back.circles)
    assert told == sorted(
        (round(h.x, 2), round(h.y, 2), round(h.diameter, 2)) for h in specimen.openings if h.made == "cut"
    )
    assert back.mm_per_unit == pytest.approx(1.0)


def test_our_own_template_comes_back(tmp_path: Path) -> None:
    specimen = knife("drop_point swelled")
    path = tmp_path / "template.svg"
    path.write_bytes(svg_of_drawing(template_drawing(specimen)))
    back = outline_from_svg(path, traces.marks_of(specimen.outline, lambda p: (p[0], -p[1])), only="CUT")
    assert traces.apart(back.outline.loop, specimen.outline.loop) < BACK


def test_marks_as_distances_behind_the_tip(tmp_path: Path) -> None:
    outline = knife("chef straight").outline
    path = tmp_path / "a.svg"
    path.write_bytes(svg_of_drawing(cut_drawing(knife("chef straight"))))
    back = outline_from_svg(
        path, Landmarks(handle_front=outline.tip[0], heel=outline.tip[0] - outline.heel[0] + 0.8)
    ).outline
    assert traces.apart(back.loop, outline.loop) < BACK
    # 0.8 mm wrong, but the corner is close by.
    assert back.heel == pytest.approx(outline.heel, abs=BACK)
    assert back.tip == pytest.approx(outline.tip, abs=BACK)
    assert back.front_bottom == pytest.approx(outline.front_bottom, abs=BACK)


def drawn(loop: Curve, before: str = "", after: str = "", *, head: str = 'width="300mm" viewBox="0 0 300 100"') -> str:
    steps = "".join("C" + " ".join(f"{x:.6f},{y:.6f}" for x, y in piece[1:]) for piece in loop.pieces)
    x, y = loop.start
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {head}>{before}'
        f'<path id="knife" d="M{x:.6f},{y:.6f}{steps}z"/>{after}</svg>'
    )


OUTLINE = specimens.plain_tang()
DOWN = np.array([[1.0, 0.0, 150.0], [0.0, -1.0, 40.0]])
"""From the design to a page, y down."""

PAGE = OUTLINE.loop.transformed(DOWN)
MARKS = traces.marks_of(OUTLINE, lambda p: mapped_point(DOWN, p))


def read(tmp_path: Path, text: str | bytes, marks: Landmarks = MARKS, **more: object):  # type: ignore[no-untyped-def]
    path = tmp_path / "x.svg"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return outline_from_svg(path, marks, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("head", "size"),
    [
        ('width="300mm" height="100mm" viewBox="0 0 300 100"', 1.0),
        ('width="30cm" viewBox="0 0 300 100"', 1.0),
        ('height="10in" viewBox="0 0 300 100"', 2.54),
        ('width="300pt" viewBox="0 0 300 100"', 25.4 / 72),
        ('width="300mm" height="100mm"', 25.4 / 96),
        ('width="300mm" height="300mm" viewBox="0 0 300 100"', 1.0),
    ],
)
def test_units(head: str, size: float, tmp_path: Path) -> None:
    back = read(tmp_path, drawn(PAGE, head=head))
    assert back.mm_per_unit == pytest.approx(size)
    assert back.outline.bounds == pytest.approx([v * size for v in OUTLINE.bounds], abs=1e-4)


@pytest.mark.parametrize(
    "head", ["", 'width="1134" height="378" viewBox="0 0 300 100"', 'width="300px"', 'width="100%"']
)
def test_no_true_size_is_refused_with_the_way_out(head: str, tmp_path: Path) -> None:
    text = drawn(PAGE, head=head)
    with pytest.raises(UnreadableFileError) as caught:
        read(tmp_path, text)
    assert_tells(str(caught.value), "length_between=", "blade_length=")
    a, b = mapped_point(DOWN, (0.0, 0.0)), mapped_point(DOWN, (100.0, 0.0))
    back = read(tmp_path, text, length_between=(a, b, 50.0))
    assert back.outline.bounds == pytest.approx([v / 2 for v in OUTLINE.bounds], abs=1e-4)
    back = read(tmp_path, text, blade_length=240.0)
    assert back.outline.tip[0] == pytest.approx(240.0)
    with pytest.raises(ParameterError, match="one of the two"):
        read(tmp_path, text, blade_length=240.0, length_between=(a, b, 50.0))
    with pytest.raises(ParameterError, match="tip and handle_front as points"):
        read(tmp_path, text, Landmarks(handle_front=120.0, heel=114.0), blade_length=240.0)


affine = st.tuples(
    st.sampled_from(["translate(7,-3)", "rotate(30)", "rotate(-75 20 10)", "scale(0.5)", "scale(1 -1)", "scale(-2,2)",
                     "matrix(0 1 -1 0 4 5)", "translate(3) rotate(200) scale(1.5)"])
)  # fmt: skip


@given(steps=st.lists(affine, min_size=1, max_size=5))
@draws(15)
def test_nested_transforms(steps: list[tuple[str]], tmp_path_factory: pytest.TempPathFactory) -> None:
    """The line is drawn in the innermost coordinates, so that the groups bring it to where it was meant to be."""
    whole = np.eye(3)
    for (text,) in steps:
        whole = whole @ np.vstack([transform(text), [0, 0, 1]])
    inner = PAGE.transformed(np.linalg.inv(whole)[:2].tolist())
    path = drawn(inner, "".join(f'<g transform="{text}">' for (text,) in steps), "</g>" * len(steps))
    back = read(tmp_path_factory.mktemp("t"), path)
    assert traces.apart(back.outline.loop, OUTLINE.loop) < BACK


def test_transforms_by_hand() -> None:
    """Values by hand: skew by 45 degrees adds y to x; rotate about a point leaves it where it is."""
    assert mapped_point(transform("skewX(45)"), (1, 2)) == pytest.approx((3, 2))
    assert mapped_point(transform("rotate(90 5 5)"), (5, 5)) == pytest.approx((5, 5))
    assert mapped_point(transform("translate(10) scale(2)"), (1, 1)) == pytest.approx((12, 2))
    for bad in ("skewX(1,2)", "spin(3)", "rotate(1", "scale(a)"):
        with pytest.raises(ValueError):  # noqa: PT011
            transform(bad)


@pytest.mark.parametrize(
    ("data", "ends"),
    [
        ("M1 2L3 4", [(1, 2), (3, 4)]),
        ("m1 2 3 4 5 6", [(1, 2), (4, 6), (9, 12)]),
        ("M1,2H5V7h-1v-2", [(1, 2), (5, 2), (5, 7), (4, 7), (4, 5)]),
        ("M0 0c1 0 2 1 2 2s1 2 2 2", [(0, 0), (2, 2), (4, 4)]),
        ("M0 0Q1 1 2 0T4 0t2 0", [(0, 0), (2, 0), (4, 0), (6, 0)]),
        ("M.5-.5L1.5.5-1e1 3", [(0.5, -0.5), (1.5, 0.5), (-10, 3)]),
        ("M0 0L2 0L2 2z", [(0, 0), (2, 0), (2, 2), (0, 0)]),
    ],
)
def test_commands(data: str, ends: list[tuple[float, float]]) -> None:
    (path,) = subpaths(data)
    assert [tuple(p) for p in [*path.pieces[:, 0], path.pieces[-1, 3]]] == [pytest.approx(end) for end in ends]


def test_smooth_commands_mirror_the_handle() -> None:
    (path,) = subpaths("M0 0C0 1 1 2 2 2S4 1 4 0")
    assert path.pieces[1, 1] == pytest.approx((3, 2))
    (two,) = subpaths("M0 0Q1 2 2 0T4 0")
    # The mirrored handle of the quadratic is (3, -2).
    assert two.pieces[1, 1] == pytest.approx((2 + 2 / 3, -4 / 3))


@pytest.mark.parametrize("flags", ["0 0", "0 1", "1 0", "1 1"])
def test_arcs_lie_on_their_circle(flags: str) -> None:
    (path,) = subpaths(f"M0 0A10 10 0 {flags} 10 10")
    p = points(Curve(path.pieces), np.linspace(0, len(path.pieces), 200))
    large, sweep = flags.split()
    # Of the two centres the one by the flags: SVG 2, appendix B.2.4.
    centre = (0.0, 10.0) if large != sweep else (10.0, 0.0)
    assert np.hypot(*(p - centre).T) == pytest.approx(10.0, abs=1e-5)
    turned = np.unwrap(np.arctan2(*(p - centre).T[::-1]))
    assert abs(turned[-1] - turned[0]) == pytest.approx(math.pi * (1.5 if large == "1" else 0.5), abs=1e-6)
    assert (turned[-1] > turned[0]) == (sweep == "1")


def test_arcs_without_spaces_and_too_small() -> None:
    (path,) = subpaths("M0 0a5 5 0 0110 0")
    assert path.pieces[-1, 3] == pytest.approx((10, 0))
    (grown,) = subpaths("M0 0A1 1 0 0 1 10 0")
    assert bounding_box(grown.pieces)[1] == pytest.approx(-5.0, abs=1e-5)
    # Half an ellipse of 5 by 10, standing: it rises by its long axis.
    (turned,) = subpaths("M0 0A10 5 90 0 1 10 0")
    assert bounding_box(turned.pieces)[1] == pytest.approx(-10.0, abs=1e-4)


@pytest.mark.parametrize("data", ["L1 1", "M1", "M1 1L1", "M1 1C1 2 3", "M0 0A1 1 0 2 0 1 1", "M0 0Z5", "M0 0L1e99 0"])
def test_broken_paths(data: str) -> None:
    with pytest.raises(ValueError, match=r"begin|numbers|number|stands"):
        subpaths(data)


def test_holes_hidden_lines_and_paper_are_told_apart(tmp_path: Path) -> None:
    x, y = mapped_point(DOWN, (-60.0, -12.0))
    back = read(
        tmp_path,
        drawn(
            PAGE,
            '<rect width="300" height="100" fill="#fff"/><g style="display:none"><rect x="0" y="0" width="290" '
            'height="90" stroke="#000"/></g><defs><circle r="500"/></defs>',
            f'<circle cx="{x}" cy="{y}" r="3"/><g transform="translate({x} {y})"><rect x="20" y="-3" width="9" '
            'height="6" rx="3"/></g><circle cx="3" cy="3" r="1"/>',
        ),
    )
    (hole,) = back.circles
    assert (hole.x, hole.y, hole.diameter) == pytest.approx((-60.0, -12.0, 6.0), abs=1e-4)
    (slot,) = back.others
    assert bounding_box(slot.pieces) == pytest.approx((-40.0, -15.0, -31.0, -9.0), abs=1e-4)


PAPER = '<rect id="page" class="{}" x="-9" y="-9" width="400" height="300" stroke="#000"/>'


@pytest.mark.parametrize(
    ("sheet", "classes"),
    [
        (".st0{display:none;}", "st0"),
        (".a,.st0 { fill:none; visibility : hidden }", "b st0"),
        ("/* .st0{display:inline} */ #page{display:none}", ""),
        ("rect.st0{display:none} .st0{display:inline}", "st0"),
        (".st0{display:none !important} #page{display:inline}", "st0"),
        ("@font-face{font-family:x;src:url(y)} rect{display:none}", ""),
        ("<![CDATA[ .st0{display:none} ]]>", "st0"),
    ],
)
def test_style_sheets_are_heeded(sheet: str, classes: str, tmp_path: Path) -> None:
    """Selectors, weight, order and importance as in CSS Cascading 4; the frame would be the larger line."""
    text = drawn(PAGE, f"<defs><style>{sheet}</style></defs>" + PAPER.format(classes))
    back = read(tmp_path, text)
    assert traces.apart(back.outline.loop, OUTLINE.loop) < BACK
    assert back.left_out == ("1 rect 'page', hidden",)
    with pytest.raises(UnreadableFileError, match=r"'page'.*knife.*1 rect 'page'"):
        read(tmp_path, text, only="page")


def test_visibility_is_inherited_and_taken_back(tmp_path: Path) -> None:
    """Hidden by the group, but for what says that it is visible; display none is never taken back."""
    knife = drawn(PAGE)
    path = knife[knife.index("<path") : knife.index("</svg>")]
    seen = path.replace("<path", '<path style="visibility:visible"')
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" viewBox="0 0 300 100">'
    group = f'{head}<g style="visibility:hidden"><g>{PAPER.format("")}{seen}</g></g></svg>'
    assert traces.apart(read(tmp_path, group).outline.loop, OUTLINE.loop) < BACK
    with pytest.raises(UnreadableFileError) as caught:
        read(tmp_path, group.replace("visibility:hidden", "display:none"))
    assert_tells(str(caught.value), "1 g, hidden")
    copied = f'{head}<defs>{path}</defs><g visibility="hidden"><use href="#knife"/></g></svg>'
    with pytest.raises(UnreadableFileError, match="1 path 'knife', hidden"):
        read(tmp_path, copied)


@pytest.mark.parametrize(
    ("before", "message"),
    [
        ("<style>g > rect{display:none}</style>", "says display of 'g > rect', a selector"),
        ("<style>@media print{rect{display:none}}</style>", "its style sheet has '@media print"),
        ("<style>@import url(other.css);</style>", "its style sheet has '@import"),
        ('<style media="print">rect{display:none}</style>', "for some devices only"),
        ("<style>path{transform:scale(2)}</style>", "it has 'transform' within a style"),
        ('<circle style="r:4" r="3"/>', "it has 'r' within a style"),
        ("<style>rect{</style>", "a style sheet that cannot be read"),
    ],
)
def test_styles_that_are_not_read_are_refused(before: str, message: str, tmp_path: Path) -> None:
    with pytest.raises(UnreadableFileError, match=message):
        read(tmp_path, drawn(PAGE, before))


def test_styles_that_do_not_matter_are_passed_over(tmp_path: Path) -> None:
    sheet = "<style>g > path:hover{fill:red} @page{margin:0} .a b{stroke-width:2}</style>"
    assert traces.apart(read(tmp_path, drawn(PAGE, sheet)).outline.loop, OUTLINE.loop) < BACK
    with pytest.raises(UnreadableFileError, match="takes its styles from another file"):
        read(tmp_path, '<?xml version="1.0"?><?xml-stylesheet href="a.css"?>' + drawn(PAGE))


def test_a_frame_is_named_with_the_name_of_what_stands_in_it(tmp_path: Path) -> None:
    text = drawn(PAGE, PAPER.format("frame"))
    with pytest.raises(UnreadableFileError) as caught:
        read(tmp_path, text)
    assert_tells(str(caught.value), "400.0 x 300.0 mm", "only='knife'")
    assert traces.apart(read(tmp_path, text, only="knife").outline.loop, OUTLINE.loop) < BACK


def test_uses_and_nested_pages(tmp_path: Path) -> None:
    moved = drawn(PAGE.moved(-10, -5))
    inner = moved[moved.index("<path") : moved.index("</svg>")]
    names = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    head = f'<svg {names} width="300mm" viewBox="0 0 300 100">'
    used = f'{head}<defs>{inner}</defs><use xlink:href="#knife" x="10" y="5"/></svg>'
    assert traces.apart(read(tmp_path, used).outline.loop, OUTLINE.loop) < BACK
    half = f'<g transform="scale(.5)">{inner}</g>'
    page = f'{head}<svg x="10" y="5" width="600" height="200" viewBox="0 0 300 100">{half}</svg></svg>'
    assert traces.apart(read(tmp_path, page).outline.loop, OUTLINE.loop) < BACK


def test_lines_that_are_not_joined_are_chained(tmp_path: Path) -> None:
    pieces = PAGE.pieces.copy()
    steps = []
    for i in (5, 0, 3, 1, 4, 2, *range(6, len(pieces))):
        p = pieces[i][::-1] if i % 2 else pieces[i]
        steps.append(f"M{p[0, 0]:.3f},{p[0, 1]:.3f}C" + " ".join(f"{x:.3f},{y:.3f}" for x, y in p[1:]))
    text = '<svg width="300mm" viewBox="0 0 300 100">' + "".join(f'<path d="{d}"/>' for d in steps) + "</svg>"
    assert traces.apart(read(tmp_path, text).outline.loop, OUTLINE.loop) < 2e-3
    gap = text.replace(steps[0], "M0,0L1,1")
    with pytest.raises(UnreadableFileError, match=r"no closed line: the longest line ends at \(\d.*\) and \(.* apart"):
        read(tmp_path, gap)


def test_two_outlines_and_one_drawn_twice(tmp_path: Path) -> None:
    other = drawn(PAGE.moved(0, 45)).replace('id="knife"', 'id="second"')
    other = other[other.index("<path") : other.index("</svg>")]
    with pytest.raises(UnreadableFileError) as caught:
        read(tmp_path, drawn(PAGE, after=other))
    assert_tells(str(caught.value), "only=")
    assert read(tmp_path, drawn(PAGE, after=other), only="knife").outline.area == pytest.approx(OUTLINE.area, rel=1e-5)
    with pytest.raises(UnreadableFileError, match="outline twice"):
        read(tmp_path, drawn(PAGE, after=drawn(PAGE)[drawn(PAGE).index("<path") : -6]))
    with pytest.raises(UnreadableFileError) as caught:
        read(tmp_path, drawn(PAGE), only="blade")
    assert_tells(str(caught.value), "'blade'", "knife")


def test_a_line_that_crosses_itself_says_where(tmp_path: Path) -> None:
    bow = '<svg width="100mm" viewBox="0 0 100 100"><path d="M0 0L60 40L60 0L0 40z"/></svg>'
    with pytest.raises(UnreadableFileError) as caught:
        read(tmp_path, bow)
    assert_tells(str(caught.value), "(30.00, 20.00)")


def test_a_mark_beside_the_line_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ParameterError) as caught:
        read(tmp_path, drawn(PAGE), Landmarks(handle_front=(150.0, 20.0), heel=MARKS.heel))
    assert (caught.value.part, caught.value.field) == ("landmarks", "handle_front")
    with pytest.raises(ParameterError) as caught:
        read(tmp_path, drawn(PAGE), Landmarks(handle_front=900.0, heel=114.0))
    assert caught.value.part == "landmarks"
    with pytest.raises(UnreadableFileError, match="comes before the"):
        read(tmp_path, drawn(PAGE), Landmarks(handle_front=MARKS.handle_front, heel=200.0))


@pytest.mark.parametrize("seen", ["right", "left"])
@pytest.mark.parametrize("turn", [0.0, 17.0, 180.0])
def test_drawn_aslant_or_from_the_left(seen: str, turn: float, tmp_path: Path) -> None:
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    flip = -1.0 if seen == "left" else 1.0
    matrix = np.array([[c * flip, s, 150.0], [s * flip, -c, 150.0]])
    level = (mapped_point(matrix, (0, 0)), mapped_point(matrix, (50, 0)))
    marks = traces.marks_of(OUTLINE, lambda p: mapped_point(matrix, p))
    marks = Landmarks(**{**{k: getattr(marks, k) for k in vars(marks)}, "level": level, "seen": seen})
    back = read(tmp_path, drawn(OUTLINE.loop.transformed(matrix)), marks)
    assert traces.apart(back.outline.loop, OUTLINE.loop) < BACK


LAUGHS = '<!DOCTYPE svg [<!ENTITY a "ha">' + "".join(
    f'<!ENTITY {chr(98 + i)} "{("&" + chr(97 + i) + ";") * 10}">' for i in range(9)
)


def copies(innermost: str) -> str:
    """Ten copies of ten copies and so on, a million in all."""
    groups = (f'<g id="g{i}">{f"""<use href="#g{i + 1}"/>""" * 10}</g>' for i in range(6))
    return f'<svg width="9mm">{"".join(groups)}<g id="g6">{innermost}</g></svg>'


DEEP_COPIES = '<svg width="9mm">{}</svg>'.format(
    "".join(f'<g id="h{i}">{"<g>" * 150}<use href="#h{i + 1}"/>{"</g>" * 150}</g>' for i in range(9))
)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (LAUGHS + "]><svg>&j;</svg>", "declares entities"),
        ('<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg>&x;</svg>', "declares entities"),
        ("<svg>" + "<g>" * 5000 + "</g>" * 5000 + "</svg>", "nested more than 200"),
        ("<svg>" + "<g/>" * 60_000 + "</svg>", "more than 50000 elements"),
        ("<svg", "no well-formed XML"),
        (b"\x00\xff\xfe", "no well-formed XML"),
        ("", "no well-formed XML"),
        ("<html/>", "is no SVG"),
        ('<svg width="9mm"><path d="M0 0L1"/></svg>', "cannot be read: L wants 2 numbers"),
        ('<svg width="9mm" viewBox="0 0 0 0"/>', "the viewBox '0 0 0 0' is no box"),
        ('<svg width="9mm"><g id="a"><use href="#a"/></g></svg>', "groups and copies within each other"),
        (copies("<path d='M0 0L1 1'/>"), "draws more than 50000 elements, copies counted"),
        (copies(""), "draws more than 50000 elements, copies counted"),
        (DEEP_COPIES, "groups and copies within each other more than 300 deep"),
        (f'<svg width="9mm"><path d="{"M0 0l9 9" * 6000}"/></svg>', "more than 20000 pieces of line, or 5000 lines"),
        (f'<svg width="9mm"><path d="M0 0{"l1 1l-1 1" * 11_000}"/></svg>', "more than 20000 pieces of line"),
        (f'<svg width="9mm"><g transform="{"rotate(1)" * 2000}"/></svg>', "a transform of more than 1000 steps"),
        (f'<svg width="9mm"><g transform="{" " * 200_000}!"/></svg>', "the transform .* cannot be read"),
        (f'<svg width="9mm"><path d="M0 0{" " * 200_000}!"/></svg>', "L wants 2 numbers; after 4 letters"),
        (f'<svg width="9mm"><rect width="{"1" * 200_000}!"/></svg>', "is no length"),
        (f'<svg width="1{" " * 200_000}!"/>', "does not say its true size"),
        ('<svg width="1e308mm" viewBox="0 0 1 1"/>', "'1e308' is a number beyond all reason"),
        ('<svg width="9mm"><g transform="translate(nan)"/></svg>', "'nan' is a number beyond all reason"),
        (
            '<svg width="9mm"><g transform="scale(9e8) scale(9e8)"><path d="M0 0L9 9"/></g></svg>',
            "farther off than 10 km",
        ),
        ('<svg width="9mm"><use href="#b"/></svg>', "uses 'b', which is not in the file"),
        ('<svg width="9mm"/>', "no closed line"),
        ('<svg width="9mm"><g transform="matrix(0 0 0 0 0 0)"><path d="M0 0L9 0L9 9z"/></g></svg>', "no closed line"),
    ],
)
def test_hostile_and_broken_files(text: str | bytes, message: str, tmp_path: Path) -> None:
    with pytest.raises(UnreadableFileError, match=message):
        read(tmp_path, text)


@given(cut=st.integers(0, 400), noise=st.binary(max_size=4))
@draws(25)
def test_damaged_files_never_give_anything_but_an_outline_or_a_message(
    cut: int, noise: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    whole = drawn(PAGE).encode()
    path = tmp_path_factory.mktemp("d") / "x.svg"
    path.write_bytes(whole[:cut] + noise + whole[cut + len(noise) :])
    try:
        back = outline_from_svg(path, MARKS).outline
    except BladegeomError:
        return
    assert back.area > 0


def test_no_such_file_and_too_large(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFileError, match="cannot be read"):
        outline_from_svg(tmp_path / "none.svg", MARKS)
    big = tmp_path / "big.svg"
    with big.open("wb") as file:
        file.truncate(30_000_000)
    with pytest.raises(UnreadableFileError, match="larger than 20 MB"):
        outline_from_svg(big, MARKS)


@pytest.mark.long
def test_fair_curves_in_place_of_chords(tmp_path: Path) -> None:
    truth = specimens.drop_point().outline
    ring = truth.polygon.exterior.coords
    text = '<svg width="300mm" viewBox="0 0 300 100"><polygon points="{}"/></svg>'.format(
        " ".join(f"{x + 150:.4f},{40 - y:.4f}" for x, y in ring[:-1])
    )
    marks = traces.marks_of(truth, lambda p: (p[0] + 150, 40 - p[1]))
    rough, fair = (read(tmp_path, text, marks, fair_within=w).outline for w in (None, 0.05))
    assert len(fair.loop) < len(rough.loop) / 3
    assert traces.apart(fair.loop, truth.loop) < 0.07
    assert nearest(fair.loop, truth.heel).distance[0] < 0.07

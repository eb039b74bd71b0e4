"""The proof: one file that needs no other, says all that the report says, and does nothing that a name tells it to."""

from __future__ import annotations

import itertools
import math
import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from html import unescape
from html.parser import HTMLParser
from xml.etree import ElementTree as ET

import numpy as np
import proofs
import pytest
import shapely
import specimens
from draws import quick
from shapely import Point

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import ROUGH_PEN, Circle, Label, Path
from bladegeom.drawing.label_placement import ink
from bladegeom.findings.check import check
from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.balance_bands import from_front
from bladegeom.quantities.units import show_angle, show_length, show_mass, show_mm
from bladegeom.sheets.proof import side_view, thinned
from bladegeom.sheets.proof_marks import RADIUS, finding_marks
from bladegeom.writers.html import css_text
from bladegeom.writers.proof_figure import PX, Canvas, canvas, print_page
from bladegeom.writers.report_text import size_words

VOID = {"meta", "input", "br", "hr", "img", "link"}
DESIGNS = (proofs.good, proofs.bad, proofs.long)


class Page(HTMLParser):
    """Elements in order, the text of each kind of element, and whether all that opens is closed."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.words: list[tuple[tuple[str, ...], str]] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append((tuple(self.open), data))

    def all(self, name: str) -> list[str]:
        """Values of an attribute."""
        return [value or "" for _, attrs in self.elements for key, value in attrs.items() if key == name]

    @property
    def text(self) -> str:
        """What a reader sees, tags taken out."""
        return "".join(data for stack, data in self.words if not {"style", "title", "desc"} & set(stack))


@pytest.fixture(params=quick(DESIGNS, proofs.good, proofs.bad), ids=lambda make: str(make.__name__))
def make(request: pytest.FixtureRequest) -> Callable[[], Knife]:
    chosen: Callable[[], Knife] = request.param
    return chosen


def test_everything_that_opens_is_closed(make: Callable[[], Knife]) -> None:
    page = Page(proofs.page(make))
    assert page.open == []
    assert page.elements[0] == ("html", {"lang": "en"})


def test_it_asks_for_no_other_file(make: Callable[[], Knife]) -> None:
    html, page = proofs.page(make), Page(proofs.page(make))
    assert {tag for tag, _ in page.elements} & {"script", "link", "iframe", "object", "base", "form"} == set()
    assert not [name for _, attrs in page.elements for name in attrs if name.startswith("on")]
    named = {(tag, (attrs["src"] or "")[:22]) for tag, attrs in page.elements if "src" in attrs}
    assert named == {("img", "data:image/png;base64,")}
    assert all(href.startswith("#") for href in page.all("href"))
    (style,) = re.findall(r"<style>(.*?)</style>", html, re.DOTALL)
    assert "url(" not in style
    assert "@import" not in style
    assert "default-src 'none'; style-src 'unsafe-inline'; img-src data:;" in html


def test_ids_are_unique_and_links_lead_somewhere(make: Callable[[], Knife]) -> None:
    page = Page(proofs.page(make))
    ids = Counter(page.all("id"))
    assert max(ids.values()) == 1
    assert {href[1:] for href in page.all("href")} <= set(ids)
    assert {name for names in page.all("aria-labelledby") for name in names.split()} <= set(ids)


def test_headings_tables_and_controls_are_labelled() -> None:
    html, page = proofs.page(proofs.good), Page(proofs.page(proofs.good))
    assert [tag for tag, _ in page.elements].count("h1") == 1
    assert html.count("<table") == html.count("<caption>") > 5
    cells = [(tag, attrs) for tag, attrs in page.elements if tag == "th"]
    assert {attrs["scope"] for _, attrs in cells} == {"col", "row"}
    assert html.count("<input") == len(re.findall(r"<label><input [^>]*> [^<]+</label>", html)) > 8
    levels = [int(tag[1]) for tag, _ in page.elements if re.fullmatch(r"h\d", tag)]
    assert all(b - a <= 1 for a, b in itertools.pairwise(levels))


def svgs(html: str) -> list[ET.Element]:
    return [ET.fromstring(picture) for picture in re.findall(r"<svg.*?</svg>", html, re.DOTALL)]


def test_every_drawing_is_well_formed_and_says_what_it_is(make: Callable[[], Knife]) -> None:
    found = svgs(proofs.page(make))
    assert len(found) >= 2
    for element in found:
        assert [child.tag for child in element[:2]] == ["title", "desc"]
        assert all(child.text for child in element[:2])


def test_drawings_are_at_true_size_in_whole_pixels(make: Callable[[], Knife]) -> None:
    for element in svgs(proofs.page(make)):
        _, _, width, height = (float(v) for v in element.attrib["viewBox"].split(" "))
        # 25.4 mm are 96 CSS pixels; coordinates have four decimals.
        assert width == pytest.approx(int(element.attrib["width"]) * 25.4 / 96, abs=1e-4)
        assert height == pytest.approx(int(element.attrib["height"]) * 25.4 / 96, abs=1e-4)


def test_it_says_what_the_report_says(make: Callable[[], Knife]) -> None:
    seen, content = Page(proofs.page(make)).text, proofs.told(make)
    total = content["total"]
    for wanted in (
        *(show_length(content["outline"][name]) for name in ("length", "blade_length", "blade_height")),
        show_length(content["stock"]["thickness"]),
        show_mass(total["mass"]),
        from_front(total["balance_x"]),
        f"{show_angle(content['grind']['angle_per_side'])} degrees",
        *(show_mass(part["mass"]) for part in content["parts"]),
        *(show_mass(stage["mass"]) for stage in content["stages"]),
        *(f"{show_mass(step['mass'])} off" for step in content["removed"][1:]),
        *(
            f"{show_mm(sensitivity['balance_shift'], sign=True)} mm"
            for sensitivity in content["levers"]
            if not sensitivity["refused"]
        ),
    ):
        assert wanted in seen, wanted


def test_every_hole_and_fastener_is_in_it() -> None:
    seen, content = Page(proofs.page(proofs.good)).text, proofs.told(proofs.good)
    assert len(content["holes"]) > 4
    for hole in content["holes"]:
        assert f"{hole['id']}{hole['purpose']}, {hole['made']}{size_words(hole)}{show_length(hole['x'])}" in seen
        assert (
            f"{show_length(hole['y'])}{show_length(hole['rim'])}{show_length(hole['web'])} to {hole['web_to']}" in seen
        )
    for fastener in content["fasteners"]:
        for name, (low, high) in fastener["worst"].items():
            assert f"{show_length(fastener[name])}{show_length(low)} to {show_length(high)}" in seen


def test_every_finding_is_in_it_and_leads_to_its_mark() -> None:
    html, content = proofs.page(proofs.bad), proofs.told(proofs.bad)
    page = Page(html)
    assert {finding["severity"] for finding in content["findings"]} >= {"error", "note"}
    for number, finding in enumerate(content["findings"], start=1):
        (row,) = re.findall(rf'<li id="finding-{number}">(.*?)</li>', html, re.DOTALL)
        told = unescape(re.sub(r"<[^>]*>", "", row))
        assert finding["message"] in told
        assert finding["source"] in told
        assert f"{number}. {finding['severity'].capitalize()}, {finding['part']} {finding['code']}" in told
        assert finding["measured"] is None or f"measured {finding['measured']:.2f}" in told
        assert finding["limit"] is None or f"limit {finding['limit']:.2f}" in told
        assert (f"mark-{number}" in page.all("id")) == (finding["x"] is not None)


def test_errors_that_stand_are_said_loudly_and_on_every_printed_page() -> None:
    html = proofs.page(proofs.bad)
    assert "NOT RELEASED." in Page(html).text
    assert "No error stands." not in html
    assert css_text("NOT RELEASED, errors stand: ") in html
    assert "NOT RELEASED" not in proofs.page(proofs.good)
    assert "No error stands." in proofs.page(proofs.good)


def test_overridden_errors_are_said_in_full() -> None:
    content = proofs.told(proofs.bad)
    codes = sorted({finding["code"] for finding in content["findings"] if finding["severity"] == "error"})
    seen = Page(proofs.page(proofs.bad, *codes)).text
    assert "NOT RELEASED" not in seen
    for finding in content["findings"]:
        if finding["severity"] == "error":
            assert f"OVERRIDDEN by the maker: {finding['code']}: {finding['message']}" in seen
    assert seen.count("Error OVERRIDDEN by the maker") == sum(
        finding["severity"] == "error" for finding in content["findings"]
    )


def test_a_name_is_shown_and_never_obeyed() -> None:
    html = proofs.page(proofs.bad)
    page = Page(html)
    assert html.count("</style>") == 1
    assert "<b onclick" not in html
    (heading,) = ("".join(data for stack, data in page.words if stack[-1:] == ("h1",)),)
    # What no page can show is a space, as on every sheet.
    assert heading == proofs.NASTY.replace("\x00", " ")
    html.encode()


def test_text_in_a_style_sheet_comes_back_as_it_was() -> None:
    told = css_text(proofs.NASTY)
    assert re.fullmatch(r"[\w ]*(\\[0-9a-f]+ [\w ]*)*", told)
    # Source: CSS Syntax Module Level 3, 4.3.7: up to six hexadecimal digits, and one white space after them.
    back = re.sub(r"\\([0-9a-f]{1,6}) ", lambda match: chr(int(match[1], 16)), told)
    assert back == proofs.NASTY.replace("\x00", " ")


def test_the_mark_of_the_revision_and_the_cautions_are_in_it(make: Callable[[], Knife]) -> None:
    html = proofs.page(make)
    assert f"<b>{revision_id(make())}</b>" in html
    for words in ("local rules override them", "eyes and lungs covered", "Nothing here says that the knife is strong"):
        assert words in html


def test_the_same_design_gives_the_same_bytes() -> None:
    first = proofs.page(proofs.bad)
    proofs.page.cache_clear()
    assert proofs.page(proofs.bad) == first


def test_it_is_small_enough_to_mail() -> None:
    # 400 kB: own choice; a phone loads it at once.
    assert len(proofs.page(proofs.good).encode()) < 400_000


def test_layers_hold_each_item_once_and_can_all_be_hidden() -> None:
    knife = proofs.good()
    layers = side_view(knife)
    html = proofs.page(proofs.good)
    assert len({layer.key for layer in layers}) == len(layers) == 8
    for layer in layers:
        assert layer.items
        checked = " checked" if layer.shown else ""
        assert f'id="show-{layer.key}"{checked}> {layer.title}</label>' in html
        assert f"#side:has(#show-{layer.key}:not(:checked)) .layer-{layer.key}{{display:none}}" in html
        assert html.count(f'<g class="layer-{layer.key}">') == 1
    assert [layer.key for layer in layers if not layer.shown] == ["comb"]
    by_key = {layer.key: layer.items for layer in layers}
    for made in ("cut", "drilled"):
        rims = [item for item in by_key[made] if isinstance(item, Circle) and not item.filled]
        wanted = [(hole.x, hole.y, hole.diameter / 2) for hole in knife.openings if hole.made == made]
        assert [(rim.x, rim.y, rim.radius) for rim in rims] == wanted
    (outline,) = by_key["outline"]
    assert isinstance(outline, Path)
    assert (outline.layer, outline.closed, outline.curve) == ("CUT", True, knife.outline.loop)


def test_the_dotted_line_that_a_note_names_is_drawn() -> None:
    knife = specimens.drop_point()
    knife = replace(knife, grind=replace(knife.grind, rough_edge=0.8))
    items = {layer.key: layer.items for layer in side_view(knife)}
    assert any(isinstance(item, Label) and item.text.startswith("dotted: ") for item in items["notes"])
    assert any(isinstance(item, Path) and item.pen == ROUGH_PEN for item in items["scribe"])


def test_marks_stand_at_their_places_clear_of_everything() -> None:
    knife = proofs.good()
    drawn = [item for layer in side_view(knife) for item in layer.items]
    places = [(-40.0, -12.0), (-40.0, -12.0), (50.0, -10.0), (109.0, -10.0), (-100.0, None)]
    severities: tuple[Severity, ...] = ("error", "warning", "note", "error", "note")
    findings = [
        Finding(code="x", severity=severity, part="blade", message="", x=x, y=y)
        for (x, y), severity in zip(places, severities, strict=True)
    ]
    marks = list(finding_marks(knife, [Finding(code="n", severity="note", part="", message=""), *findings], drawn))
    assert [mark.number for mark in marks] == [2, 3, 4, 5, 6]
    taken = shapely.union_all([ink(item) for item in drawn])
    centres = []
    for mark, (x, y) in zip(marks, places, strict=True):
        leader, dot, _, label = mark.items
        assert isinstance(dot, Circle)
        assert isinstance(label, Label)
        assert isinstance(leader, Path)
        assert dot.x == x
        upper, lower = knife.outline.tang_height(np.array([x]))
        assert dot.y == (y if y is not None else pytest.approx(float(upper[0] + lower[0]) / 2))
        assert leader.curve.start == pytest.approx((dot.x, dot.y))
        assert label.text == str(mark.number)
        centres.append((label.x, label.y + 0.9))
        assert Point(centres[-1]).buffer(RADIUS - 0.4).disjoint(taken)
    assert min(math.dist(a, b) for a, b in itertools.combinations(centres, 2)) > 2 * RADIUS


def test_severity_is_told_by_shape() -> None:
    knife = proofs.long()
    severities: tuple[Severity, ...] = ("error", "warning", "note")
    findings = [
        Finding(code="x", severity=severity, part="blade", message="", x=60.0, y=-10.0) for severity in severities
    ]
    square, triangle, circle = (mark.items[2] for mark in finding_marks(knife, findings, []))
    assert isinstance(square, Path)
    assert isinstance(triangle, Path)
    assert [len(square.curve), len(triangle.curve)] == [4, 3]
    assert isinstance(circle, Circle)


def test_thinned_lines_stay_where_they_were() -> None:
    turn = np.linspace(0, 2 * np.pi, 2000)
    ring = [(float(20 * np.cos(t)), float(20 * np.sin(t))) for t in turn]
    (thin,) = thinned([Path(layer="NOTE", curve=line(*ring))])
    assert isinstance(thin, Path)
    assert len(thin.curve) < 400
    # 0.003 mm, and the sagitta of the first 2,000 chords, 20 (1 - cos(pi / 2000)) = 2.5e-5 mm.
    assert shapely.hausdorff_distance(ink(thin), shapely.LineString(ring)) < 0.0031


def test_curves_are_not_thinned() -> None:
    outline = Path(layer="CUT", curve=specimens.drop_point().outline.loop, closed=True)
    many = Path(layer="CUT", curve=specimens.disc_outline().loop, closed=True)
    assert thinned([outline, many]) == (outline, many)


def test_a_canvas_holds_its_items() -> None:
    items = [Circle(layer="NOTE", x=100.0, y=-30.0, radius=7.3)]
    held = canvas(items)
    assert held.left <= 92.7 - 3.0
    assert held.left + held.width >= 107.3 + 3.0
    assert held.top >= -22.7 + 3.0
    assert held.top - held.height <= -37.3 - 3.0
    assert held.width <= 2 * 7.3 / np.cos(np.pi / 16) + 6.0 + PX


@pytest.mark.parametrize(
    ("width", "height", "words", "size"),
    [
        # 259.4 mm by 152 mm are left on both A4 and Letter; 400 mm by 221 mm on A3 and Tabloid.
        (259.0, 151.0, "A4 or Letter, lying", "279.4mm 210mm"),
        (260.0, 151.0, "A3 or Tabloid, lying", "420mm 279.4mm"),
        (259.0, 153.0, "A3 or Tabloid, lying", "420mm 279.4mm"),
        (401.0, 100.0, "A2 or ANSI C, lying", "558.8mm 420mm"),
        (1300.0, 100.0, "a roll, 1320 by 158 mm: no sheet takes it", "1320mm 158mm"),
    ],
)
def test_which_paper_a_drawing_needs(width: float, height: float, words: str, size: str) -> None:
    held = Canvas(left=0.0, top=0.0, across=round(width / PX), down=round(height / PX))
    page = print_page(held)
    assert page.words == words
    near = re.sub(r"\d+\.?\d*", lambda match: f"{float(match[0]):.1f}", page.size)
    wanted = re.sub(r"\d+\.?\d*", lambda match: f"{float(match[0]):.1f}", size)
    assert [float(v[:-2]) for v in near.split()] == pytest.approx([float(v[:-2]) for v in wanted.split()], abs=0.2)
    assert page.is_usual == words.startswith("A4")


def test_check_of_the_good_one_finds_no_error() -> None:
    assert not [finding for finding in check(proofs.good()) if finding.severity == "error"]

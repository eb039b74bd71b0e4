"""The customer's page: every wish once, every pointer at its place, every open question, and nothing of the shop."""

from __future__ import annotations

import dataclasses
import io
import itertools
import re
from datetime import date
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pytest
from draws import draws
from hypothesis import given
from hypothesis import strategies as st
from orders import asked, changed, knife, met, order, rich
from read_back import require_clear

from bladegeom import (
    AddStep,
    Change,
    Design,
    Fastener,
    Feature,
    Finish,
    HandCheck,
    MadeOf,
    MarkZone,
    Measured,
    Operation,
    Order,
    Reference,
    Settings,
    Sheath,
    TextureZone,
    Tube,
    Work,
    agreement_page,
    measures,
    mesh,
    quote,
)
from bladegeom.agreement.hand_work import mass_range
from bladegeom.agreement.measured_words import MEASURE_WORDS, measured_words
from bladegeom.agreement.plain_words import landing_words
from bladegeom.agreement.pointers import Pointer, pointers
from bladegeom.agreement.spots import across
from bladegeom.commands.agree import AgreementPage
from bladegeom.drawing.drawing import Label
from bladegeom.knife.rule import rules_in
from bladegeom.order.order_ways import FEATURES
from bladegeom.sheets.agreement_sheet import agreement_sheets
from bladegeom.sheets.pointed_view import NUMBER_RADIUS, set_apart

ROOT = Path(__file__).resolve().parent.parent
NAME = "Konstantínos Παπαδημητρακόπουλος-Łukaszewicz Þórðarson Bßéç"
CARVE = AddStep(operation=Operation(key="carve_handle", title="Carve the handle"), after="contour")
PT = 25.4 / 72


def open_order() -> Order:
    """Everything that can be open, names of sixty letters, and a wish of each kind."""
    carved = (
        Feature(what="texture", place="blade and handle"),
        Finish(operation="carve_handle", finish="waves", place="handle"),
    )
    wishes = (
        asked(1, text="Carved surface", met=Feature(what="texture")),
        asked(2, text="carved surface on the blade AND on the handle", met=carved),
        asked(3, text="my name on it", concerns="mark", met=Feature(what="mark", text="DECK 1")),
        asked(4, text="dark steel", met=Finish(operation="etch", finish="dark")),
        asked(5, text="a lanyard for 4 mm cord", concerns="lanyard", met=Feature(what="lanyard", cord=4)),
        asked(6, text="a spine that is kind to my finger", met=HandCheck(look="no corner is felt", signed="maker")),
        asked(7, text="light as a feather", weight="wish", met=Measured(measure="mass", high=100)),
        asked(8, text="something for the belt", concerns="sheath", met=()),
        asked(9, text="some dark wood", concerns="handle", weight="open", open_must=True, met=()),
        asked(10, text="soon, please", concerns="delivery"),
    )
    return dataclasses.replace(
        rich(),
        number=NAME,
        customer=NAME,
        requirements=wishes,
        changes=(
            Change(date=date(2026, 3, 9), text="a longer handle, if it can be had?"),
            Change(date=date(2026, 3, 12), text="a bottle opener in the spine", answer="refused"),
        ),
        references=(Reference(what="the picture of 3 June"),),
        sheath=Sheath(material="leather"),
    )


@cache
def open_design() -> Design:
    named = dataclasses.replace(knife(), name=f"Messer, {NAME}")
    return Design(named, order=open_order(), steps=(CARVE,), settings=Settings(paper="Letter"))


@cache
def petty() -> Design:
    return Design.from_script(ROOT / "examples" / "galley_petty.py")


@cache
def open_page() -> AgreementPage:
    return agreement_page(open_design(), maker=NAME)


@cache
def petty_page() -> AgreementPage:
    return agreement_page(petty(), prices=ROOT / "examples" / "prices.toml", maker="the smith of the ship")


PAGES = (open_page, petty_page)
LOOK = HandCheck(look="no corner is felt", signed="maker")


def plain(text: str) -> str:
    """Without the line ends of a page."""
    return "".join(text.split())


def pdf_text(page: AgreementPage) -> str:
    document = pypdfium2.PdfDocument(io.BytesIO(page.printout.pdf))
    return plain(" ".join(sheet.get_textpage().get_text_range() for sheet in document))


def html_text(page: AgreementPage) -> str:
    told: list[str] = []

    class Reader(HTMLParser):
        def handle_data(self, data: str) -> None:
            told.append(data)

    Reader().feed(page.html.decode().partition("<body>")[2])
    return plain(" ".join(told))


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("read", [pdf_text, html_text])
def test_every_wish_stands_on_the_page_once_in_the_customers_words(page: Any, read: Any) -> None:
    text = read(page())
    marks = ("\N{LEFT DOUBLE QUOTATION MARK}", "\N{RIGHT DOUBLE QUOTATION MARK}") if read is pdf_text else ("", "")
    # What is still to be asked is quoted a second time, behind its number.
    asked_again = [question.words for question in page().said.questions]
    for item in page().said.items:
        again = sum(item.words in words for words in asked_again)
        left_out = sum(item.words in words for words in page().said.left_out)
        within = sum(item.words in other.words for other in page().said.items) - 1
        found = text.count(plain(f"{marks[0]}{item.words}{marks[1]}"))
        most = 1 + again + (left_out + within if read is html_text else 0)
        assert 1 <= found <= most, item.words
        for sentence in item.made:
            assert plain(sentence) in text, sentence


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("read", [pdf_text, html_text])
def test_all_that_is_to_be_known_stands_there(page: Any, read: Any) -> None:
    text, said = read(page()), page().said
    told = [
        said.name,
        said.mark,
        said.customer,
        said.maker,
        *said.left_out,
        *said.care,
        *(
            part
            for row in (*said.facts, *said.sizes, *said.made_of, *said.hand)
            for part in (row.what, row.value, row.how)
        ),
        *(part for section in said.price for row in section.rows for part in (row.what, row.how, row.amount)),
        *(part for question in said.questions for part in (question.words, *question.choices)),
    ]
    for words in told:
        assert plain(words) in text, words


def test_every_open_question_is_asked() -> None:
    asked_there = [(question.words, question.choices, question.must) for question in open_page().said.questions]
    quoted = "To number {}, \N{LEFT DOUBLE QUOTATION MARK}{}\N{RIGHT DOUBLE QUOTATION MARK}: {}"
    assert asked_there == [
        (quoted.format(1, "Carved surface", "where?"), ("on the blade", "on the handle", "on both"), True),
        (quoted.format(3, "my name on it", "where?"), ("on the right side", "on the left side"), True),
        (
            quoted.format(4, "dark steel", "where?"),
            ("on the blade alone", "on the tang too, where it shows round the handle"),
            True,
        ),
        (quoted.format(8, "something for the belt", "how is this to be done?"), (), True),
        (quoted.format(9, "some dark wood", "what is to be done?"), (), True),
        ("Asked for on 2026-03-09: a longer handle, if it can be had?", ("yes", "no"), True),
        ("On which side is the sheath worn?", ("on the right", "on the left"), False),
        ("Like the picture of 3 June: what exactly do you like about it?", (), False),
    ]
    assert [question.letter for question in open_page().said.questions] == list("ABCDEFGH")
    assert petty_page().said.questions == ()


def quoted(number: int, words: str) -> str:
    return f"To number {number}, \N{LEFT DOUBLE QUOTATION MARK}{words}\N{RIGHT DOUBLE QUOTATION MARK}"


def test_a_mark_whose_letters_nobody_told_is_asked_for() -> None:
    plain = asked(1, text="my boat's name", concerns="mark", met=Feature(what="mark", side="right"))
    wish = dataclasses.replace(plain, number=2, weight="wish", met=(Feature(what="mark", side="left"),))
    said = dataclasses.replace(plain, number=3, text="DECK 1 on it")
    none = dataclasses.replace(plain, number=4, met=(Feature(what="mark", absent=True),))
    page = agreement_page(Design(knife(), order=order(plain, wish, said, none))).said
    assert [(question.words, question.choices, question.must) for question in page.questions] == [
        (
            f"{quoted(1, plain.text)}: what is to stand there, letter by letter?",
            ("'DECK 1', as in the picture",),
            True,
        ),
        (f"{quoted(2, plain.text)}: what is to stand there, letter by letter?", (), False),
    ]
    told = [any("still to be answered" in sentence for sentence in item.made) for item in page.items]
    assert told == [True, True, False, False]


def test_a_price_in_a_question_names_its_currency(tmp_path: Path) -> None:
    change = Change(date=date(2026, 3, 9), text="a longer handle?", price=12.5)
    priced = dataclasses.replace(order(asked(1, met=LOOK)), changes=(change,))
    design = Design(knife(), order=priced)
    listed = tmp_path / "prices.toml"
    text = (ROOT / "examples" / "prices.toml").read_text()
    listed.write_text(text.replace('currency = "EUR"', 'currency = "NOK"'))
    known = dataclasses.replace(design, settings=Settings(price_list=listed))
    told = "Asked for on 2026-03-09: a longer handle? (price: 12.50 {})"
    for of, currency in ((design, "________"), (known, "NOK")):
        assert [question.words for question in agreement_page(of).said.questions] == [told.format(currency)]
    listed.unlink()
    settled = dataclasses.replace(priced, changes=(dataclasses.replace(change, answer="refused"),))
    assert agreement_page(dataclasses.replace(known, order=settled)).said.questions == ()


CODES = {
    code.name
    for room in ("order", "signoff", "checks", "workshop", "price")
    for rule in rules_in(f"bladegeom.{room}")
    for code in rule.codes
}
SHOP = ("margin", "floor", "hourrate", "overhead", "NOTRELEASED", "TODO", "None", "finding", "warning", "error[")


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("read", [pdf_text, html_text])
def test_nothing_of_the_shop_stands_there(page: Any, read: Any) -> None:
    text = read(page())
    hyphened = [code for code in CODES if "-" in code]
    assert len(hyphened) > 80
    assert [code for code in hyphened if code in text] == []
    assert [word for word in SHOP if word in text] == []
    made = quote(petty(), ROOT / "examples" / "prices.toml")
    hidden = {made.offer.floor, made.offer.cost, made.overhead, made.prices.hour_rate}
    shown = {row.amount for section in petty_page().said.price for row in section.rows}
    assert shown.isdisjoint(map(str, hidden))


def places_of(page: AgreementPage) -> list[tuple[Any, Pointer, tuple[float, float]]]:
    return [(view, pointer, place) for view in page.views for pointer, place in view.shown]


@pytest.mark.parametrize("page", PAGES)
def test_every_pointer_ends_on_the_knife_in_the_picture(page: Any) -> None:
    found = places_of(page())
    assert len(found) >= 8
    for view, pointer, (x, y) in found:
        raster = view.raster
        rows, columns, _ = raster.pixels.shape
        column = (x - raster.x) / raster.width * columns
        row = (raster.y + raster.height - y) / raster.height * rows
        assert 0 <= column < columns
        assert 0 <= row < rows
        near = raster.pixels[max(0, int(row) - 3) : int(row) + 4, max(0, int(column) - 3) : int(column) + 4]
        through = any(place.x == pointer.spot.x and place.y == pointer.spot.y for place in knife().holes)
        assert through or near.min() < 250, (view.view, pointer)


def test_pointers_end_where_the_wish_lands() -> None:
    made = {
        number: [p for p in pointers(petty().landings, petty().knife) if number in p.numbers] for number in range(16)
    }
    outline, mark = petty().knife.outline, petty().knife.zones[0]
    assert isinstance(mark, MarkZone)
    (length,), (named,), (eased,) = made[1], made[10], made[15]
    assert np.hypot(length.spot.x - outline.tip[0], length.spot.y - outline.tip[1]) < 3.0
    assert named.spot.view == mark.side
    assert abs(named.spot.x - mark.x) <= mark.width / 2
    # Above its letters, which are signed for one by one: the dot must hide none of them.
    assert mark.y + mark.height / 2 + 1.5 < named.spot.y < across(petty().knife, mark.x)[1]
    assert eased.spot.view == "spine"
    assert eased.spot.y == pytest.approx(across(petty().knife, eased.spot.x)[1])
    (heavy,) = made[9]
    assert heavy.spot.x == pytest.approx(petty().weighing.balance_from_front)
    (sharp,) = made[4]
    assert 0 < sharp.spot.y - across(petty().knife, sharp.spot.x)[0] <= 1.0
    pins = {(fastener.x, fastener.y) for fastener in petty().knife.fasteners}
    assert any((pointer.spot.x, pointer.spot.y) in pins for pointer in made[7])
    assert not made[13]
    assert not made[14]


def test_a_carved_surface_on_blade_and_handle_points_at_both() -> None:
    landed, design = open_design().landings, open_design()
    both = [pointer.spot for pointer in pointers(landed, design.knife) if 2 in pointer.numbers]
    zone = next(zone for zone in design.knife.zones if isinstance(zone, TextureZone))
    on_blade = [spot for spot in both if zone.start <= spot.x <= zone.end]
    on_handle = [spot for spot in both if spot.x < 0]
    assert {spot.view for spot in on_blade} == {"right", "left"}
    assert len(on_handle) == 1
    assert len(both) == 3


def thickness_left(design: Design, x: float, y: float) -> dict[str, float]:
    """How far each face of the finished steel lies from the middle plane at a place, mm; off its mesh."""
    (steel,) = (part.mesh for part in mesh(design).parts if part.kind == "steel")
    corners = np.asarray(steel.vertices)[np.asarray(steel.triangles)]
    a, b, c = (corners[:, i] for i in range(3))
    area = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (c[:, 0] - a[:, 0]) * (b[:, 1] - a[:, 1])
    flat = np.abs(area) > 1e-9
    a, b, c, area = a[flat], b[flat], c[flat], area[flat]
    u = ((x - a[:, 0]) * (c[:, 1] - a[:, 1]) - (c[:, 0] - a[:, 0]) * (y - a[:, 1])) / area
    v = ((b[:, 0] - a[:, 0]) * (y - a[:, 1]) - (x - a[:, 0]) * (b[:, 1] - a[:, 1])) / area
    here = (u >= 0) & (v >= 0) & (u + v <= 1)
    z = (a[:, 2] + u * (b[:, 2] - a[:, 2]) + v * (c[:, 2] - a[:, 2]))[here]
    return {"right": float(z.max()), "left": -float(z.min())}


OF_THE_BEVEL = (
    Measured(measure="bevel height", low=0),
    Measured(measure="bevel angle", low=0),
    Feature(what="grind"),
    Feature(what="one-sided grind"),
    Measured(measure="edge thickness", low=0),
    Measured(measure="first edge thickness", low=0),
    Measured(measure="sharpening angle", low=0),
    Finish(operation="sharpen", finish="keen"),
)


@pytest.mark.parametrize("only", ["left", "right"])
def test_what_is_asked_of_the_ground_face_points_at_the_face_that_is_ground(only: Any) -> None:
    """A chisel grind has nothing to show on its flat side; that is told by the steel's own mesh."""
    ground = changed(grind=dataclasses.replace(knife().grind, only=only))
    wishes = [asked(i, text="keen", met=way) for i, way in enumerate(OF_THE_BEVEL, start=1)]
    design = Design(ground, order=order(*wishes))
    found = pointers(design.landings, ground)
    assert sorted(number for pointer in found for number in pointer.numbers) == list(range(1, len(wishes) + 1))
    half, flat = ground.stock.thickness / 2, "left" if only == "right" else "right"
    for pointer in found:
        assert pointer.spot.view == only
        z = thickness_left(design, pointer.spot.x, pointer.spot.y)
        assert z[only] < half - 0.1
        assert z[flat] == pytest.approx(half, abs=1e-6)
    shown = {
        view.view: {number for p, _ in view.shown for number in p.numbers} for view in agreement_page(design).views
    }
    assert shown.pop(only) == set(range(1, len(wishes) + 1))
    assert not any(shown.values())


@pytest.mark.parametrize("side", ["left", "right", "both"])
def test_marks_and_carved_surfaces_are_pointed_at_on_the_face_that_bears_them(side: Any) -> None:
    mark = MarkZone(x=20.0, y=-6.0, width=9.0, height=3.0, text="DECK 1", side="left" if side == "both" else side)
    carved = TextureZone(start=40.0, end=70.0, depth=0.2, side=side)
    zoned = changed(zones=(mark, carved))
    wishes = asked(1, text="signed", met=Feature(what="mark")), asked(2, text="carved", met=Feature(what="texture"))
    spots = {1: set[str](), 2: set[str]()}
    for pointer in pointers(Design(zoned, order=order(*wishes)).landings, zoned):
        for number in pointer.numbers:
            spots[number].add(pointer.spot.view)
    assert spots == {1: {mark.side}, 2: {"left", "right"} if side == "both" else {side}}


@given(st.lists(st.tuples(st.floats(0, 170), st.sampled_from([5.1, 10.2, 15.3])), min_size=1, max_size=10).map(sorted))
def test_numbers_never_lie_over_each_other(wanted: list[tuple[float, float]]) -> None:
    room = 174.0
    while sum(size + 2 for _, size in wanted) > room:
        wanted = wanted[:-1]
    placed = set_apart(wanted, room)
    ends = [(x - size / 2, x + size / 2) for x, (_, size) in zip(placed, wanted, strict=True)]
    assert ends[0][0] >= -1e-9
    assert ends[-1][1] <= room + 1e-9
    assert all(b[0] - a[1] >= 2.0 - 1e-9 for a, b in itertools.pairwise(ends))
    # Who has room stays where it is wanted.
    if len(wanted) == 1:
        middle, size = wanted[0]
        assert placed[0] == pytest.approx(min(max(middle, size / 2), room - size / 2))


@pytest.mark.parametrize("page", PAGES)
def test_nothing_is_clipped_or_written_over_another(page: Any) -> None:
    sheets = page().printout.sheets
    assert len(sheets) <= 3
    require_clear(page().printout.pdf)
    for sheet in sheets:
        assert sheet.width < sheet.height
        x0, y0, x1, y1 = sheet.drawing.bounds
        assert min(x0, y0) >= 8.0
        assert x1 <= sheet.width - 15.0
        assert y1 <= sheet.height - 10.0
        # 9 pt and more.
        sizes = [item.height for item in sheet.drawing.items if hasattr(item, "text")]
        assert min(sizes) / 0.9 / PT >= 8.99
        for raster in sheet.rasters:
            assert raster.x >= 15.9
            assert raster.x + raster.width <= sheet.width - 15.9
            assert raster.y > 16.0


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["galley_petty", "galley_chef", "rigging_knife"])
@pytest.mark.parametrize("is_priced", [True, False])
def test_signatures_are_never_alone_and_no_page_is_left_with_a_few_lines(
    name: str,
    paper: str,
    is_priced: bool,  # noqa: FBT001  # pytest hands it by name
) -> None:
    design = petty() if name == "galley_petty" else Design.from_script(ROOT / "examples" / f"{name}.py")
    prices = ROOT / "examples" / "prices.toml" if is_priced else None
    sheets = agreement_page(design, prices=prices, paper=paper).printout.sheets
    texts = [{item.text: item.y for item in sheet.drawing.items if isinstance(item, Label)} for sheet in sheets]
    assert {"Good to know", "Agreed"} <= set(texts[-1])
    for sheet, lines in zip(sheets, texts, strict=True):
        low, *_, high = sorted(y for text, y in lines.items() if not text.startswith(("Revision A-", "page ")))
        assert high - low > 0.38 * (sheet.height - 38.0)
    # The sizes stand on one page wherever that takes no page more; here it does for the priced petty on Letter alone.
    (on,) = (lines for lines in texts if "Sizes" in lines)
    assert ("each side" in on or "The edge is sharpened at, each side" in on) != (
        (name, paper, is_priced) == ("galley_petty", "Letter", True)
    )


@given(st.integers(1, 30))
@draws(10)
def test_signatures_are_never_alone_however_long_the_page_is(wishes: int) -> None:
    page = dataclasses.replace(
        open_page().said,
        items=open_page().said.items[:3] * 2,
        left_out=("A thing that nobody thinks of.",) * wishes,
        questions=open_page().said.questions * 2,
    )
    sheets = agreement_sheets(page, open_page().views, open_page().paper)
    last = {item.text for item in sheets[-1].drawing.items if isinstance(item, Label)}
    assert {"Good to know", "Agreed"} <= last


def test_a_number_has_room_in_its_circle() -> None:
    for page in (open_page(), petty_page()):
        for view in page.views:
            labels = [item for item in view.items if getattr(item, "anchor", "") == "middle"]
            assert all(label.width < 2 * NUMBER_RADIUS for label in labels)  # type: ignore[union-attr]


def test_the_same_design_gives_the_same_bytes_and_no_hour() -> None:
    again = agreement_page(petty(), prices=ROOT / "examples" / "prices.toml", maker="the smith of the ship")
    assert again.printout.pdf == petty_page().printout.pdf
    assert again.html == petty_page().html
    assert petty_page().said.date == date(2026, 4, 2)


def test_nothing_is_asked_of_a_network() -> None:
    page = petty_page().html.decode()
    assert not re.search(r"https?://(?!www\.w3\.org)|url\(|<script|<link|<img", page)
    assert "img-src data:" in page
    assert page.count("data:image/png;base64,") == 3


def test_a_design_without_an_order_has_lines_to_write_on() -> None:
    page = agreement_page(Design(knife()))
    assert (page.said.customer, page.said.maker, page.said.items, page.said.questions) == ("", "", (), ())
    assert "A sheath or another cover for the blade." in page.said.left_out
    assert plain("Colours and grain stand for the material.") in pdf_text(page)
    assert plain("numbers are those of your wishes") not in pdf_text(page)
    require_clear(page.printout.pdf)


def test_what_is_missed_is_told_to_the_customer_too() -> None:
    (item,) = (item for item in open_page().said.items if item.number == 7)
    assert item.made == ("Not as you asked: weight, without a sheath: 166 g; asked for: at most 100 g.",)
    assert "Not as asked for: 7. light as a feather." in open_page().said.left_out
    assert "Declined, asked for on 2026-03-12: a bottle opener in the spine." in open_page().said.left_out


def test_a_cord_that_is_too_thick_is_told_as_that() -> None:
    """An opening that is in the picture is never called missing."""
    tube = Fastener(x=-105.0, y=-17.0, hardware=Tube(metal="304", outside=6.35, inside=4.8))
    design = Design(changed(fasteners=(tube,), holes=()), order=met(Feature(what="lanyard", cord=4)))
    (item,) = agreement_page(design).said.items
    assert item.made == (
        "Not as you asked: the opening is 4.8 mm (0.189 in) wide, and a cord of 4 mm (0.157 in), laid double, needs "
        "8.5 mm (0.335 in).",
    )


def test_a_dark_blade_is_not_called_left_out() -> None:
    dark = Finish(operation="surface", finish="black, without a shine", place="blade")
    # Of the blade, for the mark may be etched all the same.
    out = "An etched or darkened blade."
    assert out in agreement_page(Design(knife())).said.left_out
    assert out not in agreement_page(Design(knife(), order=met(dark))).said.left_out


def test_a_mark_and_a_texture_that_no_wish_asks_for_stand_in_words() -> None:
    told = {row.what: row.value for row in agreement_page(Design(knife(), work=Work(etch="coffee"))).said.made_of}
    assert told["Mark"] == "'DECK 1' on the right side"
    assert told["Carved or textured surface"].startswith("on both sides of the blade, from ")
    assert told["Etched with"] == "coffee"


@pytest.mark.parametrize("page", PAGES)
def test_a_customer_reads_no_more_digits_than_a_rule_tells(page: Any) -> None:
    said = page().said
    told = " ".join(
        [
            *(row.value for row in (*said.facts, *said.sizes, *said.made_of, *said.hand)),
            *sum((i.made for i in said.items), ()),
        ]
    )
    lengths = re.findall(r"([0-9.]+) mm", told)
    assert len(lengths) > 15
    assert [number for number in lengths if float(number) >= 10 and float(number) * 2 % 1] == []
    assert [number for number in lengths if re.search(r"\.[0-9]*0$|\.[0-9]{3}", number)] == []
    assert re.findall(r"[0-9]\.[0-9]+ g\b", told) == []


@given(st.floats(0.01, 400.0), st.floats(0.01, 400.0), st.booleans(), st.sampled_from(["mass", "blade length"]))
def test_rounding_never_carries_a_value_over_its_limit(
    value: float,
    limit: float,
    is_least: bool,  # noqa: FBT001  # hypothesis hands them by name
    name: str,
) -> None:
    limit, value = round(limit, 2), round(value, 2)
    way = Measured(measure=name, low=limit) if is_least else Measured(measure=name, high=limit)
    words = measured_words(way, value).rpartition(": at ")[0].removesuffix("; asked for")
    found = re.search(r"([0-9.]+) (?:mm|g)", words)
    assert found is not None
    shown = float(found[1])
    assert (shown >= limit) == (value >= limit) if is_least else (shown <= limit) == (value <= limit)


def test_every_measure_and_every_feature_has_plain_words() -> None:
    assert set(MEASURE_WORDS) == set(measures())
    for name, measure in measures().items():
        value = measure.of(knife())
        low = 55.0 if value is None else value - 1.0
        told = Design(knife(), order=met(Measured(measure=name, low=low))).landings
        assert MEASURE_WORDS[name].lower() in landing_words(told[0], knife(), {}).lower()
    for what in FEATURES:
        for absent in (False, True):
            told = Design(knife(), order=met(Feature(what=what, absent=absent))).landings
            words = landing_words(told[0], knife(), {})
            assert words.endswith(".")
            assert words.startswith("Not as you asked: ") == (told[0].state == "missed"), words


def test_the_weight_that_is_promised_holds_the_spread_of_the_materials() -> None:
    low, high = mass_range(knife())
    parts = Design(knife()).weighing.parts
    lightest = sum(part.volume.amount * part.material.low / 1000 for part in parts)
    heaviest = sum(part.volume.amount * part.material.high / 1000 for part in parts)
    assert low == pytest.approx(0.97 * lightest)
    assert high == pytest.approx(1.03 * heaviest)


@pytest.mark.long
def test_as_many_wishes_as_nobody_has_and_names_without_an_end() -> None:
    ways = (Feature(what="texture"), Feature(what="mark"), Measured(measure="mass", high=300), *landing_everywhere())
    wishes = [
        asked(i, text="W" * 130 if i % 7 else f"wish {i} for the spine", met=ways[i % len(ways)]) for i in range(1, 121)
    ]
    longest = dataclasses.replace(knife(), name="W" * 200)
    page = agreement_page(Design(longest, order=order(*wishes, customer="W" * 200)), maker="W" * 200)
    require_clear(page.printout.pdf)
    assert sum(len(pointer.numbers) for _, pointer, _ in places_of(page)) > 100


def landing_everywhere() -> tuple[Any, ...]:
    return (
        Measured(measure="blade length", low=10),
        Measured(measure="edge thickness", low=0),
        HandCheck(look="W" * 120, signed="maker"),
        MadeOf(part="scales", material="Juglans nigra"),
        MadeOf(part="pin", material="C26000"),
    )

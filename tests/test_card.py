"""The job card: what it says, that nothing is clipped or written over, and what stands on every page."""

from __future__ import annotations

import dataclasses
import io
import re
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from draws import draws
from hypothesis import Phase, given
from hypothesis import strategies as st
from orders import asked, knife, order, rich

from bladegeom import AddStep, Finish, Knife, Operation, Order, route
from bladegeom.cli import main
from bladegeom.commands.job_card import job_card
from bladegeom.design.design import Design
from bladegeom.drawing.ruler import MARGIN
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.papers import paper
from bladegeom.sheets.card_pages import card_pages
from bladegeom.sheets.drill_sheet import drill_pages
from bladegeom.signoff.card_table import Card, Mark
from bladegeom.signoff.job_card import card
from bladegeom.writers.card_page import card_page
from bladegeom.writers.html import css_text
from bladegeom.writers.pdf import pdf_of_sheets

EXAMPLES = Path(__file__).resolve().parent.parent / "examples"

PT = 25.4 / 72
"""A point, mm."""

SHARED = 0.05
"""Boxes may share so much, mm: they are rounded in the file."""

WORDS = st.text(alphabet="abcdeimnrstuvwWM gjpqy.,;-'ÄÖß", min_size=1, max_size=400).map(lambda text: f"x{text}")
UNBROKEN = st.integers(1, 300).map(lambda count: "W" * count)
TEXT = st.one_of(WORDS, UNBROKEN)


def pages_of(pdf: bytes) -> list[tuple[str, np.ndarray, tuple[float, float]]]:
    """Text, boxes of the single words by their line (n, 4) in mm, and size of every page, as read back."""
    document = pypdfium2.PdfDocument(io.BytesIO(pdf))
    out = []
    for page in document:
        text = page.get_textpage()
        boxes = np.array([text.get_rect(i) for i in range(text.count_rects())]) * PT
        out.append((text.get_text_bounded(), boxes, (page.get_width() * PT, page.get_height() * PT)))
    return out


def require_clear(pdf: bytes) -> None:
    """No text leaves what a printer reaches, and none is written over another."""
    for words, boxes, (width, height) in pages_of(pdf):
        assert boxes[:, :2].min() >= MARGIN - SHARED
        assert boxes[:, 2].max() <= width - MARGIN + SHARED, words
        assert boxes[:, 3].max() <= height - MARGIN + SHARED
        low = np.maximum(boxes[:, None, :2], boxes[None, :, :2])
        high = np.minimum(boxes[:, None, 2:], boxes[None, :, 2:])
        over = ((high - low) > SHARED).all(axis=2)
        np.fill_diagonal(over, val=False)
        assert not over.any(), (words, boxes[over.any(axis=1)])


@cache
def rich_card() -> Card:
    return card(route(knife(), rich()), ("NOT RELEASED, errors stand: some-code. See the report.",))


def plain_pdf(made: Card, name: str) -> bytes:
    return pdf_of_sheets(card_pages(made, knife(), paper(name)))


@pytest.mark.parametrize("name", ["A4", "Letter"])
def test_texts_are_clear_and_whole_on_every_page(name: str) -> None:
    pdf = plain_pdf(rich_card(), name)
    require_clear(pdf)
    pages = pages_of(pdf)
    for i, (text, _, _) in enumerate(pages, start=1):
        flat = " ".join(text.split())
        assert f"page {i} of {len(pages)}" in flat
        assert rich_card().mark in flat
        assert "NOT RELEASED, errors stand: some-code." in flat


def test_the_foot_of_a_printed_page_names_an_allowed_error_by_its_code_only() -> None:
    """The lower margin holds three lines of text; the finding's own words stand whole on top of the first page."""
    words = "thread of #8-32 x 5/16 in screws, the longest whose tips keep apart; " * 8
    remarks = ("Released with engagement allowed by the maker.", f"OVERRIDDEN by the maker: engagement: F1: {words}")
    page = card_page(card(route(knife(), rich()), remarks), knife()).decode()
    (foot,) = re.findall(r'@bottom-left\{content:"(.*?)";', page)
    assert css_text("Released with engagement allowed by the maker. OVERRIDDEN by the maker: engagement") in foot
    assert css_text("5/16") not in foot
    assert "5/16 in screws" in page


# A smaller failing text would tell no more, and take minutes.
@draws(5, phases=(Phase.generate,))
@given(called=TEXT, wish=TEXT, caution=TEXT, remark=TEXT, name=st.sampled_from(["A4", "Letter"]))
def test_no_name_is_too_long(called: str, wish: str, caution: str, remark: str, name: str) -> None:
    own = Operation(key="engrave", title=wish, tasks=(caution,), cautions=(caution, wish))
    wanted = order(asked(text=wish, met=Finish(operation="engrave", finish=caution)), customer=called)
    work = route(knife(), wanted, steps=(AddStep(operation=own, before="sharpen"),))
    made = dataclasses.replace(card(work, (remark,)), title=f"Job card S-1: {called[:150]}")
    require_clear(plain_pdf(made, name))


def test_a_row_that_no_page_holds_goes_on_over_the_next_ones() -> None:
    words = [f"word{i}" for i in range(3000)]
    made = card(route(knife(), order(asked(text=" ".join(words)))))
    pdf = plain_pdf(made, "A4")
    require_clear(pdf)
    told = re.findall(r"word\d+", " ".join(text for text, _, _ in pages_of(pdf)))
    assert told == words


def test_a_step_whose_title_fills_pages_comes_to_an_end() -> None:
    own = Operation(key="engrave", title="engrave it " * 2000, tasks=("do it " * 2000,))
    made = card(route(knife(), steps=(AddStep(operation=own, before="sharpen"),)))
    require_clear(plain_pdf(made, "A4"))


def test_a_title_that_leaves_no_room_is_refused() -> None:
    made = dataclasses.replace(rich_card(), title="W" * 3000)
    with pytest.raises(ExportError, match="shorten the names"):
        plain_pdf(made, "A4")


def test_pages_of_other_sheets_travel_along_and_are_numbered_through() -> None:
    along = drill_pages(Design(knife()), [paper("A4")])
    sheets = card_pages(rich_card(), knife(), paper("A4"), along)
    pdf = pdf_of_sheets(sheets)
    pages = pages_of(pdf)
    for i, (text, _, _) in enumerate(pages, start=1):
        number = f"page {i} of {len(sheets)}"
        assert (number if i <= len(pages) - len(along) else f"Job card, {number}") in " ".join(text.split())
    for before, after in zip(along, sheets[-len(along) :], strict=True):
        assert after.drawing.items[:-1] == before.drawing.items
        (_, boxes, _) = pages_of(pdf_of_sheets([after]))[0]
        assert boxes[:, :2].min() >= MARGIN - SHARED


def cells(made: Card, key: str) -> list[str]:
    part = next(card_part for card_part in made.parts if card_part.key == key)
    return [cell for table in part.tables for row in table.rows for cell in row if not isinstance(cell, Mark)]


def test_every_requirement_is_told_with_a_box_and_where_it_lands() -> None:
    part = rich_card().parts[0]
    rows = part.tables[0].rows
    assert {row[0] for row in rows} == {str(requirement.number) for requirement in rich().requirements}
    assert all(row[5] is Mark.TICK and row[6] is Mark.BLANK for row in rows)
    told = " ".join(cells(rich_card(), "order"))
    assert all(requirement.text in told for requirement in rich().requirements)
    assert all(change.text in told for change in rich().changes)
    assert "refused" in told
    assert part.verdict.startswith("complete")


def test_every_step_stands_on_the_card_with_all_that_it_says() -> None:
    work = route(knife(), rich())
    made = card(work)
    parts = {part.key: part for part in made.parts}
    assert [table.title for table in parts["route"].tables] == [
        f"{i}. {operation.title}" for i, operation in enumerate(work.operations, start=1)
    ]
    told = set(cells(made, "route") + cells(made, "heat"))
    for operation in work.operations:
        if operation.key != "inspect":
            assert {*operation.tasks, *operation.cautions} <= told, operation.key
            assert all(any(blank.what in text for text in told) for blank in operation.blanks), operation.key
    assert [row[0] for row in parts["inspection"].tables[0].rows] == [number.what for number in work.inspection]


def test_a_wish_that_lands_nowhere_is_told_on_every_page() -> None:
    made = card(route(knife(), order(asked(), asked(2, weight="wish", met=()))))
    pages = pages_of(plain_pdf(made, "A4"))
    assert all("do not land (number 2)" in " ".join(text.split()) for text, _, _ in pages)
    assert "do not land (number 2)" in card_page(made, knife()).decode()
    assert card(route(knife(), order())).remarks == ()


def test_open_questions_about_the_order_stand_on_it() -> None:
    part = card(route(knife(), order(asked(text="8 in blade")))).parts[0]
    assert part.verdict.startswith("complete but for 1 question to settle: ")
    assert part.lines[0].startswith("to settle: requirement 1 ('8 in blade') says '8 in'")
    assert not any(line.startswith("to settle") for line in card(route(knife(), order())).parts[0].lines)


def test_without_an_order_the_card_has_no_part_for_it() -> None:
    made = card(route(knife()))
    assert [part.key for part in made.parts] == ["route", "heat", "inspection"]
    require_clear(plain_pdf(made, "Letter"))


class _Page(HTMLParser):
    """Names and attributes of all elements, ids among them."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))


def test_the_page_needs_nothing_else_and_obeys_no_text() -> None:
    hostile = "<script>alert(1)</script><img src=x onerror=alert(1)>\"'&"
    made = card(route(knife(), order(asked(text=hostile), customer=hostile, note=hostile)), (hostile,))
    page = _Page()
    page.feed(card_page(made, knife()).decode())
    tags = [tag for tag, _ in page.found]
    assert not {"script", "img", "link", "iframe", "object"} & set(tags)
    assert not any(name.startswith("on") or name in ("src", "action") for _, a in page.found for name in a)
    assert all((a.get("href") or "#").startswith("#") for _, a in page.found)
    ids = [a["id"] for _, a in page.found if "id" in a]
    assert len(ids) == len(set(ids))
    assert {a["href"] for tag, a in page.found if tag == "a"} <= {f"#{ident}" for ident in ids}
    assert tags.count("svg") == 1
    ticks = sum(cell is Mark.TICK for p in made.parts for t in p.tables for row in t.rows for cell in row)
    assert sum(a.get("type") == "checkbox" for _, a in page.found) == ticks


def test_the_command_writes_the_card_and_says_what_keeps_it_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = tmp_path / "galley.py"
    script.write_text((EXAMPLES / "galley_petty.py").read_text())
    beside = tmp_path / "galley.order.toml"
    text = (EXAMPLES / "galley_petty.order.toml").read_text()
    beside.write_text(text + '\n[[requirement]]\nnumber = 16\ntext = "my initials"\nconcerns = "mark"\n')
    assert main(["card", str(script), "--paper", "A4"]) == 1
    out = capsys.readouterr().out
    assert "error [order-unbound] requirement 16 ('my initials')" in out
    (pdf,) = (tmp_path / "galley").glob("*_job_card_A4.pdf")
    assert all(
        "NOT RELEASED, errors stand: order-unbound." in " ".join(t.split()) for t, _, _ in pages_of(pdf.read_bytes())
    )
    assert "NOT RELEASED" in next((tmp_path / "galley").glob("*_job_card.html")).read_text()
    beside.unlink()
    assert main(["card", str(script), "--paper", "Letter", "--out", str(tmp_path / "bare")]) == 0
    assert sorted(path.name for path in (tmp_path / "bare").iterdir()) == [
        "galley-petty_rev-A_job_card.html",
        "galley-petty_rev-A_job_card_Letter.pdf",
    ]


@pytest.mark.long
def test_an_allowed_error_releases_the_card_and_is_named_on_every_page(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = tmp_path / "galley.py"
    script.write_text((EXAMPLES / "galley_petty.py").read_text())
    text = (EXAMPLES / "galley_petty.order.toml").read_text()
    beside = tmp_path / "galley.order.toml"
    beside.write_text(text + '\n[[requirement]]\nnumber = 16\ntext = "my initials"\nconcerns = "mark"\n')
    assert main(["card", str(script), "--paper", "A4", "--allow", "order-unbound"]) == 0
    assert "Released with order-unbound allowed by the maker." in capsys.readouterr().out
    (pdf,) = (tmp_path / "galley").glob("*_job_card_A4.pdf")
    for page, _, _ in pages_of(pdf.read_bytes()):
        words = " ".join(page.split())
        assert "Released with order-unbound allowed by the maker." in words
        assert "OVERRIDDEN by the maker: order-unbound:" in words
        assert "NOT RELEASED" not in words
    assert "NOT RELEASED" not in next((tmp_path / "galley").glob("*_job_card.html")).read_text()
    assert main(["card", str(script), "--allow", "order-unbund"]) == 2
    assert "did you mean" in capsys.readouterr().err


def test_the_route_speaks_for_an_ordered_knife_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    script = tmp_path / "galley.py"
    script.write_text((EXAMPLES / "galley_petty.py").read_text())
    main(["check", str(script)])
    assert "hardness-window" not in capsys.readouterr().out
    (tmp_path / "galley.order.toml").write_text((EXAMPLES / "galley_petty.order.toml").read_text())
    main(["check", str(script)])
    assert "hardness-window" in capsys.readouterr().out


def test_the_same_card_gives_the_same_bytes() -> None:
    def files(made: Knife, wanted: Order) -> dict[str, bytes]:
        return dict(job_card(Design(made, order=wanted), papers=("A4",)))

    assert files(knife(), rich()) == files(knife(), rich())

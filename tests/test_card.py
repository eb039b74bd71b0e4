"""The job card: what it says, and the page on which it is browsed."""

from __future__ import annotations

import re
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest
from hypothesis import strategies as st
from orders import asked, knife, order, rich
from read_back import read_pages

from bladegeom import Knife, Order, route
from bladegeom.cli import main
from bladegeom.commands.bench_book import bench_book
from bladegeom.design.design import Design
from bladegeom.signoff.card_table import Card, Mark
from bladegeom.signoff.job_card import card
from bladegeom.workshop.inspection import OPEN
from bladegeom.writers.card_page import card_page
from bladegeom.writers.html import css_text

EXAMPLES = Path(__file__).resolve().parent.parent / "examples"

PT = 25.4 / 72
"""A point, mm."""

SHARED = 0.05
"""Boxes may share so much, mm: they are rounded in the file."""

WORDS = st.text(alphabet="abcdeimnrstuvwWM gjpqy.,;-'ÄÖß", min_size=1, max_size=400).map(lambda text: f"x{text}")
UNBROKEN = st.integers(1, 300).map(lambda count: "W" * count)
TEXT = st.one_of(WORDS, UNBROKEN)


@cache
def rich_card() -> Card:
    return card(route(knife(), rich()), ("NOT RELEASED, errors stand: some-code. See the report.",))


def test_the_foot_of_a_printed_page_names_an_allowed_error_by_its_code_only() -> None:
    """The lower margin holds three lines of text; the finding's own words stand whole on top of the first page."""
    words = "thread of #8-32 x 5/16 in screws, the longest whose tips keep apart; " * 8
    remarks = ("Released with engagement allowed by the maker.", f"OVERRIDDEN by the maker: engagement: F1: {words}")
    page = card_page(card(route(knife(), rich()), remarks), knife()).decode()
    (foot,) = re.findall(r'@bottom-left\{content:"(.*?)";', page)
    assert css_text("Released with engagement allowed by the maker. OVERRIDDEN by the maker: engagement") in foot
    assert css_text("5/16") not in foot
    assert "5/16 in screws" in page


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
    lines = parts["inspection"].tables[0].rows
    assert [row[0] for row in lines[: len(work.inspection)]] == [number.what for number in work.inspection]


def test_the_inspection_refers_to_what_the_route_has_written() -> None:
    """Nothing is asked twice, and nothing that a step writes of the hard blade is left out."""
    work = route(knife(), rich())
    parts = {part.key: part for part in card(work).parts}
    rows = {str(row[0]): row for row in parts["inspection"].tables[0].rows}
    number = {operation.key: i for i, operation in enumerate(work.operations, start=1)}
    assert rows["hardness"][4] == f"step {number['temper']}"
    assert rows["bow over the blade"][4] == f"step {number['straighten']}"
    assert rows["hardness as quenched"][4] == f"step {number['heat_treat']}"
    (grown,) = (row for what, row in rows.items() if what.endswith("after hardening"))
    assert grown[4] == f"step {number['straighten']}"
    assert rows["overall length"][3:5] == (OPEN, Mark.BLANK)
    assert not any(row[5] for row in rows.values() if str(row[4]).startswith("step "))


def test_a_wish_that_lands_nowhere_is_told_on_the_card() -> None:
    made = card(route(knife(), order(asked(), asked(2, weight="wish", met=()))))
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


def test_the_command_writes_the_book_and_says_what_keeps_it_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = tmp_path / "galley.py"
    script.write_text((EXAMPLES / "galley_petty.py").read_text())
    beside = tmp_path / "galley.order.toml"
    text = (EXAMPLES / "galley_petty.order.toml").read_text()
    beside.write_text(text + '\n[[requirement]]\nnumber = 16\ntext = "my initials"\nconcerns = "mark"\n')
    assert main(["book", str(script), "--paper", "A4"]) == 1
    out = capsys.readouterr().out
    assert "error [order-unbound] requirement 16 ('my initials')" in out
    (pdf,) = (tmp_path / "galley").glob("*_book_A4.pdf")
    pages = read_pages(pdf.read_bytes())
    assert all("NOT RELEASED, errors stand: order-unbound." in page.words for page in pages)
    assert "NOT RELEASED" in next((tmp_path / "galley").glob("*_job_card.html")).read_text()
    beside.unlink()
    assert main(["book", str(script), "--paper", "Letter", "--out", str(tmp_path / "bare")]) == 0
    assert sorted(path.name for path in (tmp_path / "bare").iterdir()) == [
        "galley-petty_rev-A_book_Letter.pdf",
        "galley-petty_rev-A_job_card.html",
        "galley-petty_rev-A_template_Letter.svg",
        "galley-petty_rev-A_template_Letter_left.svg",
    ]


@pytest.mark.long
def test_an_allowed_error_releases_the_book_and_is_named_on_every_page(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = tmp_path / "galley.py"
    script.write_text((EXAMPLES / "galley_petty.py").read_text())
    text = (EXAMPLES / "galley_petty.order.toml").read_text()
    beside = tmp_path / "galley.order.toml"
    beside.write_text(text + '\n[[requirement]]\nnumber = 16\ntext = "my initials"\nconcerns = "mark"\n')
    assert main(["book", str(script), "--paper", "A4", "--allow", "order-unbound"]) == 0
    assert "Released with order-unbound allowed by the maker." in capsys.readouterr().out
    (pdf,) = (tmp_path / "galley").glob("*_book_A4.pdf")
    for words in (page.words for page in read_pages(pdf.read_bytes())):
        assert "Released with order-unbound allowed by the maker." in words
        assert "OVERRIDDEN by the maker: order-unbound:" in words
        assert "NOT RELEASED" not in words
    assert "NOT RELEASED" not in next((tmp_path / "galley").glob("*_job_card.html")).read_text()
    assert main(["book", str(script), "--allow", "order-unbund"]) == 2
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
        return dict(bench_book(Design(made, order=wanted), papers=("A4",)))

    assert files(knife(), rich()) == files(knife(), rich())

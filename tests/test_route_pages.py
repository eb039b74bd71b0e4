"""Route and inspection of the bench book: every fact of the job card, once; legible blocks that keep together."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import any_knives
import numpy as np
import pytest
import specimens
from draws import draws, quick_rows
from hypothesis import Phase, given
from hypothesis import strategies as st
from orders import asked, knife, order, rich
from read_back import read_pages, require_clear_page

from bladegeom import (
    AddStep,
    Finish,
    FlatBevel,
    Grind,
    Knife,
    Operation,
    Plunge,
    Rounding,
    Scales,
    ShoulderedBolt,
    Stock,
    add_fasteners,
    inch,
    join_halves,
)
from bladegeom.book.bench_steps import bench_steps
from bladegeom.book.brick import space
from bladegeom.book.hand_marks import BLANK_HEIGHT, BLANK_WIDTH
from bladegeom.book.inspection_pages import inspection_pages
from bladegeom.book.like_numbers import by_place, limits_shown, starred, station_shown, unit_word
from bladegeom.book.number_kinds import value_shown
from bladegeom.book.register import page_named
from bladegeom.book.route_pages import route_pages
from bladegeom.book.sketch import PICTURE
from bladegeom.book.step_block import StepBlock
from bladegeom.book.step_flow import planned
from bladegeom.book.step_pictures import step_picture
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Label, Sheet
from bladegeom.drawing.drawing import Path as Line
from bladegeom.drawing.type_sizes import HEAD, KEY, TEXT
from bladegeom.profiles import get
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled
from bladegeom.quantities.papers import paper
from bladegeom.quantities.unit_order import FirstUnit, told_first
from bladegeom.signoff.card_table import CardPart, Mark
from bladegeom.workshop.heat_treat import DEFER
from bladegeom.workshop.operation import PRACTICE, Number
from bladegeom.workshop.written import written_at
from bladegeom.writers.pdf import pdf_of_sheets

EXAMPLES = Path(__file__).resolve().parent.parent / "examples"
NAMES = ("galley_chef", "galley_petty", "kindling_knife", "rigging_knife", "traced_knife")
DESIGNS = ("plain", "rich", *NAMES)
LEAST_PT = 9.0

BY_REFERENCE = ("As the heat-treat card says.", "As the inspection list says.")
"""Of the job card, whose heat treatment and inspection stand on parts of their own."""

WORDS = st.text(alphabet="abcdeimnrstuvwWM gjpqy.,;-'ÄÖß", min_size=1, max_size=400).map(lambda text: f"x{text}")
UNBROKEN = st.integers(1, 300).map(lambda count: "W" * count)
FOREIGN = st.text(alphabet="ΑΒγδέώЖЩийŘřőÅåđ ", min_size=1, max_size=200).map(lambda text: f"ή{text}")
LONG_WORDS = st.one_of(WORDS, UNBROKEN, FOREIGN)


@cache
def plain_knife() -> Knife:
    """A full tang of a plain steel that is quenched in oil, with scales on two bolts."""
    outline = join_halves(DropPoint(blade_length=100.0), Swelled(length=115.0))
    made = Knife(
        name="Plain knife",
        outline=outline,
        stock=Stock(steel="1084", thickness=4.0),
        grind=Grind(
            bevel=FlatBevel(height=17.0, edge_thickness=0.4),
            plunge=Plunge(x=outline.heel[0], radius=4.0),
            rough_edge=0.8,
            sharpen_deg=18.0,
        ),
        scales=Scales(slab="NEMA G-10", thickness=9.0, rounding=Rounding(width=6.0, depth=3.0)),
        hand_breadth=88.0,
    )
    bolt = ShoulderedBolt(
        metal="304",
        thread="#6-32",
        head_diameter=inch("3/8"),
        head_height=5.0,
        shoulder_diameter=inch("1/4"),
        shoulder_length=9.35,
        stud_length=5.2,
    )
    return add_fasteners(made, bolt, count=2)


@cache
def design(name: str) -> Design:
    if name == "plain":
        return Design(plain_knife())
    return Design(knife(), order=rich()) if name == "rich" else Design.from_script(EXAMPLES / f"{name}.py")


def route_of(made: Design, size: str = "A4") -> tuple[Sheet, ...]:
    return route_pages(made, [paper(size)], remarks=made.job_card.remarks)


def inspection_of(made: Design, size: str = "A4") -> tuple[Sheet, ...]:
    return inspection_pages(made, [paper(size)], remarks=made.job_card.remarks)


def labels(sheets: tuple[Sheet, ...]) -> list[Label]:
    return [item for sheet in sheets for item in sheet.drawing.items if isinstance(item, Label)]


def text_of(told: list[Label]) -> str:
    return " ".join(label.text for label in told)


def close(text: str) -> str:
    """Without spaces, so that it does not matter where a line is broken."""
    return re.sub(r"\s+", "", text)


def blocks(made: Design) -> list[str]:
    """The text over the first step, and that of each step; the inspection is the last, a chapter of its own."""
    told, out = labels((*route_of(made), *inspection_of(made))), [""]
    for label in told:
        if label.bold and label.height == HEAD and label.text.startswith(f"{len(out)}. "):
            out.append("")
        out[-1] += f" {label.text}"
    return out


def tokens(text: str) -> set[str]:
    """Words and numbers."""
    return {word.rstrip(".") for word in re.findall(r"[^\s()\[\];:,*]+", text)}


def part_of(made: Design, key: str) -> CardPart | None:
    return next((part for part in made.job_card.parts if part.key == key), None)


def rows_of(part: CardPart) -> list[tuple[int, tuple[str, ...]]]:
    """Number of the step, and the cells of a row that are text."""
    return [
        (int(table.title.partition(".")[0]), tuple("" if isinstance(cell, Mark) else cell for cell in row))
        for table in part.tables
        for row in table.rows
    ]


def handle_text(made: Design) -> str:
    drawn = page_named("handle").draw(made, [paper("A4")], ())
    return text_of([label for printed in drawn for label in labels(printed.sheets)])


@dataclass(frozen=True)
class Told:
    """What stands over the steps, and at each; what the handle's pages say; and each value as the book shows it."""

    blocks: list[str]
    handle: str
    values: dict[str, str]

    def does(self, number: int, text: str, *_: str) -> None:
        """A task stands at its step; what is said of all the heat over them; what to buy on the handle's pages."""
        if text not in BY_REFERENCE:
            where = self.blocks[0] if text == DEFER else self.blocks[number]
            assert close(starred(text)) in close(where) + self.handle, text

    def minds(self, number: int, text: str, *_: str) -> None:
        """A caution stands at its step, or at an earlier one that it names."""
        at = next(i for i, block in enumerate(self.blocks) if close(starred(text)) in close(block))
        assert at == number or re.search(rf"[Aa]s at steps? [\d and]*\b{at}\b", self.blocks[number]), text

    def finishes(self, number: int, text: str, *_: str) -> None:
        """What the order asks of a step stands at it."""
        assert close(f"ORDER: {text}") in close(self.blocks[number])

    def counts(self, number: int, *cells: str) -> None:
        """Every word and number of a line stands at its step; the drill card asks for what it has a blank for."""
        if cells[0].startswith(ON_THE_DRILL_CARD):
            return
        here = tokens(self.blocks[number])
        told = ({*cells}, {self.values.get(cell, _by_station(cell)) for cell in cells})
        words = [tokens(" ".join(starred(text).replace(PRACTICE, "*") for text in texts)) for texts in told]
        assert any(each - here <= BY_A_TASK for each in words), cells


def _by_station(what: str) -> str:
    """With its place told as on the grind sheet."""
    return re.sub(r"\bx (-?[\d.]+)(?! mm| in|[\d./-])", lambda found: station_shown(float(found[1])), what)


def numbers_of(step: Operation) -> tuple[Number, ...]:
    """All that a step tells and asks."""
    return (*step.numbers, *step.rests, *step.within, *step.waits, *step.blanks)


ON_THE_DRILL_CARD = ("slab, right, as measured", "slab, left, as measured", "tang at ")
BY_A_TASK = {"mass", "of", "steel", "as", "hardened", "foil", "length", "width", "yes", "/"}
"""Words of numbers that a task tells: the mass beside the size, the foil's size where it is folded."""


@pytest.mark.parametrize("name", DESIGNS)
def test_every_fact_of_the_job_card_stands_in_the_route(name: str) -> None:
    made = design(name)
    groups = [group for step in made.route.operations for group in by_place(numbers_of(step))]
    told_with = [(number, group) for group in groups for number in group.numbers]
    values = {number.text: value_shown(number).text for number, _ in told_with if number.text}
    # The inspection, the last step, tells the same limits in its own way.
    values |= {number.limits: group.limits for number, group in reversed(told_with) if number.limits}
    told = Told(blocks(made), close(handle_text(made)), values)
    assert len(told.blocks) == len(made.route.operations) + 1
    counted = ("number", "wait first", "within", "wait", "write")
    look: dict[str, Callable[..., None]] = dict.fromkeys(counted, told.counts)
    look |= {"do": told.does, "CAUTION": told.minds, "ORDER": told.finishes, "sign": lambda *_: None}
    for part in filter(None, (part_of(made, key) for key in ("route", "heat"))):
        for number, (kind, *cells) in rows_of(part):
            look[kind](number, *cells)


@pytest.mark.parametrize("name", DESIGNS)
def test_what_stands_over_the_job_cards_steps_stands_in_the_route(name: str) -> None:
    made = design(name)
    head, *_ = told = blocks(made)
    route, heat = part_of(made, "route"), part_of(made, "heat")
    assert route is not None
    assert heat is not None
    assert all(close(line) in close(head) for line in route.lines)
    for line in heat.lines:
        # The steel, with which the first line of the route begins.
        assert close(line.rstrip(".")).lower() in close(" ".join(told)).lower(), line


@pytest.mark.parametrize("name", DESIGNS)
def test_every_line_of_the_inspection_is_asked_once(name: str) -> None:
    made = design(name)
    told, steps = text_of(labels(inspection_of(made))), bench_steps(made.route)
    lines = list(written_at(made.route, bench_steps(made.route)))
    assert [number for number, _ in lines] == list(made.route.inspection)
    assert ". Inspect " in told
    asked_here, _, carried = told.partition("Written in the route")
    for number, step in lines:
        note = "" if number.note.startswith("signed by ") else number.note
        what = tokens(" ".join((_by_station(number.what), value_shown(number).text, limits_shown(number), note)))
        if step is None:
            assert close(number.what) in close(asked_here)
            assert what <= tokens(asked_here)
        else:
            assert f"step {step}:" in carried
            assert steps[step - 1].blanks
            assert tokens(re.sub(r" at x \S+", "", number.what)) - {"at"} <= tokens(carried)
            if number.source == "the order":
                assert tokens(limits_shown(number)) <= tokens(carried)
    here = [blank.what for step in steps for blank in step.blanks]
    assert not {number.what for number, step in lines if step is None and not number.measure} & set(here)


def test_hand_checks_of_the_order_are_signed_at_the_inspection() -> None:
    """Each has a box to tick, among those that its own signer signs."""
    made = design("galley_petty")
    (sheet,) = inspection_of(made)
    told = text_of(labels((sheet,))).partition("Written in the route")[0]
    _, by_maker, by_customer = told.split("Looked at and tried: ticked and signed by ")
    checks = [number for number in made.route.inspection if number.note.startswith("signed by ")]
    assert len(checks) == 8
    for number in checks:
        block = by_maker if number.note == "signed by maker" else by_customer
        assert block.startswith(number.note.removeprefix("signed by "))
        assert close(number.what) in close(block)
    ticked = [
        number
        for number, step in written_at(made.route, bench_steps(made.route))
        if step is None and number.unit == "yes/no"
    ]
    boxes = [item for item in sheet.drawing.items if isinstance(item, Line) and item.closed]
    sizes = [tuple(np.ptp(item.curve.pieces.reshape(-1, 2), axis=0).round(2)) for item in boxes]
    # One more is ticked for the step itself.
    assert sizes.count((5.0, 5.0)) == len(ticked) + 1
    # Date, initials, what is measured, and a signature of each of two people.
    measured = [
        number
        for number, step in written_at(made.route, bench_steps(made.route))
        if step is None and number.unit != "yes/no"
    ]
    assert made.order is not None
    assert made.order.quantity == 2
    # Which of the two knives it is.
    assert sizes.count((BLANK_WIDTH, BLANK_HEIGHT)) == 2 + len(measured) + 2 + 1
    assert f"Order {made.order.number} for {made.order.customer}" in told


def test_what_goes_on_to_a_second_page_of_the_inspection_begins_there() -> None:
    first, second = inspection_of(design("galley_petty"), "Letter")
    assert "Looked at and tried" not in text_of(labels((first,)))
    assert labels((second,))[2].text.startswith("Looked at and tried")


def test_the_edge_is_measured_at_its_own_step_alone() -> None:
    made = design("plain")
    where = {
        number.what: step
        for number, step in written_at(made.route, bench_steps(made.route))
        if number.what.startswith("edge")
    }
    keys = made.route.keys
    assert {keys[step - 1] for what, step in where.items() if step and "before hardening" in what} == {"rough_grind"}
    assert {keys[step - 1] for what, step in where.items() if step and "sharpening" in what} == {"finish_grind"}
    assert None not in where.values()
    assert "before sharpening" not in text_of(labels(inspection_of(made))).partition("Written in the route")[0]


def test_pitches_after_hardening_are_asked_for_when_the_hard_blade_is_looked_at() -> None:
    """What is asked in a step that is ticked before the quench nobody would fill in after it."""
    steps = {step.key: step for step in bench_steps(design("galley_petty").route)}
    for key, when in (("drill", "before"), ("straighten", "after")):
        asked_for = [blank.what for blank in steps[key].blanks if blank.what.startswith("pitch")]
        assert asked_for == [f"pitch {pair}, {when} hardening" for pair in ("F1 to F2", "F2 to F3")]


def test_what_the_drill_card_has_a_blank_for_is_not_asked_for_again() -> None:
    made = design("rigging_knife")
    (step,) = (step for step in bench_steps(made.route) if step.key == "dry_fit")
    assert {blank.unit for blank in step.blanks} == {"yes/no"}
    asked = [row.operation for row in made.drill_card.steps if row.measures]
    assert any("thickness beside each hole" in told for told in asked)
    assert any("both slabs" in told for told in asked)


@pytest.mark.parametrize("name", DESIGNS)
def test_each_blank_has_room_to_write(name: str) -> None:
    made = design(name)
    boxes = []
    for sheet in route_of(made):
        for item in sheet.drawing.items:
            if isinstance(item, Line) and item.closed and len(item.curve) == 4:
                (x0, y0), (x1, y1) = item.curve.pieces.reshape(-1, 2).min(0), item.curve.pieces.reshape(-1, 2).max(0)
                boxes.append((round(float(x1 - x0), 2), round(float(y1 - y0), 2)))
    groups = [group for step in bench_steps(made.route) for group in by_place(step.blanks)]
    single = [group for group in groups if not group.places and group.first.unit != "yes/no"]
    answers = [group for group in groups if group.first.unit == "yes/no"]
    in_batches = sum(len(group.places) for group in groups)
    steps = len(made.route.operations) - 1
    assert boxes.count((BLANK_WIDTH, BLANK_HEIGHT)) >= len(single) + 2 * steps
    wide = [box for box in boxes if box[1] == BLANK_HEIGHT and box[0] >= 24.0]
    assert len(wide) == len(single) + 2 * steps + in_batches
    orders = sum(bool(step.finish) for step in bench_steps(made.route))
    assert boxes.count((5.0, 5.0)) == steps + orders + 2 * len(answers)


@pytest.mark.parametrize(
    ("name", "size"),
    quick_rows(
        [(name, size) for name in DESIGNS for size in ("A4", "Letter")],
        ("galley_petty", "A4"),
        ("plain", "Letter"),
        ("rich", "A4"),
    ),
)
@pytest.mark.parametrize("unit", ["mm", "inch"])
def test_pages_read_well(name: str, size: str, unit: FirstUnit) -> None:
    made = design(name)
    made = dataclasses.replace(made, settings=dataclasses.replace(made.settings, units=unit))
    with made.settings.in_force():
        sheets = (*route_of(made, size), *inspection_of(made, size))
    for page in read_pages(pdf_of_sheets(sheets)):
        require_clear_page(page)
        assert page.least_pt >= LEAST_PT


def test_the_routes_of_two_knives_are_short() -> None:
    """A working shop's complaint was 21 pages for the petty."""
    assert len(route_of(design("galley_petty"))) <= 4
    plain = design("plain")
    assert plain.released
    assert len(route_of(plain)) <= 5
    assert len(route_of(plain)) + len(inspection_of(plain)) <= 6


def rigging_after(count: int) -> tuple[Sheet, ...]:
    """Its route with a step of so many lines before the hardening, which moves the steps behind it down the page."""
    long = Operation(key="own", title="Own", tasks=("look",) * count)
    made = design("rigging_knife")
    return route_of(dataclasses.replace(made, steps=(*made.steps, AddStep(operation=long, before="heat_treat"))))


def torn_steps(sheets: tuple[Sheet, ...]) -> Iterator[tuple[str, int, tuple[Sheet, ...]]]:
    """Each step with a picture that goes on over the page: its title, the page that it goes on on, and all pages."""
    for page, sheet in enumerate(sheets):
        for label in labels((sheet,)):
            title = label.text.removesuffix(", continued")
            if label.bold and title != label.text and re.sub(r"^\d+", "", title) in PICTURED:
                yield title, page, sheets


PICTURED = {". Temper": "on the tang", ". Mark": "x 0, y 0"}
"""What a picture says, by the step that has it, whatever its number."""


def test_a_step_that_goes_on_over_the_page_begins_with_its_picture_and_a_task() -> None:
    torn = [found for count in range(50, 59) for found in torn_steps(rigging_after(count))]
    assert torn
    for title, page, sheets in torn:
        before, after = labels(sheets[page - 1 : page]), labels(sheets[page : page + 1])
        begun = before[next(i for i, label in enumerate(before) if label.text == title) :]
        assert any(label.text == "\N{BULLET}" for label in begun), "a task"
        assert any(label.text == PICTURED[re.sub(r"^\d+", "", title)] for label in begun), "what its picture means"
        assert after[2].text == f"{title}, continued", "first under the head"


def block_of(left: int, right: int, below: int) -> StepBlock:
    """Lines of 5 mm; title and the first of each column keep together."""
    lines = [(space(5.0),) * count for count in (left, right, below)]
    return StepBlock(
        head=(space(1.0),),
        left=lines[0],
        right=lines[1],
        below=lines[2],
        aside=0.0,
        begun=(1, 1),
        again=(space(6.0),),
    )


def slow(blocks: Sequence[StepBlock], left: float, room: float) -> tuple[int, int]:
    """Pages that begin, and steps that are torn apart, where every step is tried at every place."""
    if not blocks:
        return 0, 0
    ways = []
    for begins_page in (False, True):
        held, pages, block, torn = (room if begins_page else left), int(begins_page), blocks[0], False
        whole = block.height <= held
        first, rest = block.parted(held)
        fits = whole or (len(first.left) > 1 and len(first.right) >= 1 and rest.height >= 12.0)
        if not fits and not begins_page:
            continue
        while block.height > held:
            torn = not begins_page
            _, block = block.parted(held)
            pages, held = pages + 1, room
        more = slow(blocks[1:], held - block.height - 2.2, room)
        ways.append((pages + more[0], torn + more[1]))
    return min(ways)


@draws(20)
@given(st.lists(st.tuples(st.integers(1, 12), st.integers(1, 12), st.integers(0, 4)), min_size=1, max_size=7))
def test_steps_come_onto_as_few_pages_as_they_can(told: list[tuple[int, int, int]]) -> None:
    blocks = [block_of(*each) for each in told]
    plan = planned(blocks, 40.0, 60.0)
    assert (plan.pages, sum(plan.goes_on)) == slow(blocks, 40.0, 60.0)


def test_numbers_that_are_worked_to_stand_large() -> None:
    large = {label.text for label in labels(route_of(design("plain"))) if label.bold and label.height == KEY}
    assert {"215 mm", "4 mm", "0.80 mm", "0.40 mm", "15.1 mm", "6 degrees", "815 C", "9.50 mm", "18 degrees"} <= large
    with told_first("inch"):
        made = Design(plain_knife())
        large = {label.text for label in labels(route_of(made)) if label.bold and label.height == KEY}
    assert {"8-15/32 in", "0.157 in", "1499 F"} <= large


# A smaller failing text would tell no more, and take minutes.
@draws(5, phases=(Phase.generate,))
@given(
    called=LONG_WORDS, wish=LONG_WORDS, caution=LONG_WORDS, remark=LONG_WORDS, size=st.sampled_from(["A4", "Letter"])
)
def test_no_name_is_too_long(called: str, wish: str, caution: str, remark: str, size: str) -> None:
    own = Operation(
        key="engrave",
        title=wish,
        tasks=(caution,),
        cautions=(caution, wish),
        numbers=(Number(what=wish, value=3.0), Number(what=caution, value=4.0, note=wish)),
        waits=(Number(what=caution, unit="h", value=2.0, source=wish),),
        blanks=(Number(what=wish, unit="yes/no"), Number(what=caution, low=1.0, high=2.0, source=wish)),
    )
    wanted = order(asked(text=wish, met=Finish(operation="engrave", finish=caution)), customer=called)
    made = Design(knife(), order=wanted, steps=(AddStep(operation=own, before="sharpen"),))
    pages = (draw(made, [paper(size)], remarks=(remark,)) for draw in (route_pages, inspection_pages))
    for sheets in pages:
        for page in read_pages(pdf_of_sheets(sheets)):
            require_clear_page(page)
            assert page.least_pt >= LEAST_PT


def test_a_step_that_no_page_holds_goes_on_under_its_title() -> None:
    words = [f"word{i}" for i in range(2500)]
    own = Operation(key="engrave", title="Engrave", tasks=(" ".join(words),))
    sheets = route_of(Design(knife(), steps=(AddStep(operation=own, before="sharpen"),)))
    assert re.findall(r"word\d+", text_of(labels(sheets))) == words
    titles = [label.text for label in labels(sheets) if label.text.endswith(". Engrave, continued")]
    assert titles
    for page in read_pages(pdf_of_sheets(sheets)):
        require_clear_page(page)


def test_a_caution_is_told_in_full_once_and_named_where_it_counts_again() -> None:
    told = blocks(design("plain"))
    where = [i for i, text in enumerate(told) if "Eyes, ears and lungs covered" in text]
    keys = design("plain").route.keys
    assert [keys[i - 1] for i in where] == ["rough_grind"]
    assert f"And as at step {where[0]}." in told[keys.index("finish_grind") + 1]


def test_a_foil_stands_clear_of_thick_plates_over_a_short_blade() -> None:
    short = specimens.ground(specimens.bar_outline(blade=90.0, tang=100.0), steel="1.4116", thickness=6.35)
    for page in read_pages(pdf_of_sheets(route_of(Design(short)))):
        require_clear_page(page)


@draws(10)
@given(made=any_knives.knives())
def test_pictures_fit_their_column_and_nothing_in_them_is_written_over(made: Knife) -> None:
    work = Design(made).route
    for operation in work.operations:
        picture = step_picture(work, operation)
        if picture is None:
            continue
        x0, y0, x1, y1 = picture.bounds
        assert x1 - x0 <= PICTURE + 6.0, operation.key
        assert y1 - y0 <= 75.0, operation.key
        told = [item for item in picture.items if isinstance(item, Label)]
        assert all(label.height == TEXT for label in told)
        for i, label in enumerate(told):
            for other in told[:i]:
                (a0, b0), (a1, b1) = label.corners.min(0), label.corners.max(0)
                (c0, d0), (c1, d1) = other.corners.min(0), other.corners.max(0)
                apart = a0 >= c1 - 0.05 or c0 >= a1 - 0.05 or b0 >= d1 - 0.05 or d0 >= b1 - 0.05
                assert apart, (operation.key, label.text, other.text)


def test_a_shop_that_reads_inches_reads_fahrenheit() -> None:
    number = Number(what="kiln, as read", unit="C")
    assert unit_word(number) == "C"
    with told_first("inch"):
        assert unit_word(number) == "F"
        assert station_shown(25.4) == "x 1.000 in"


def test_limits_are_as_fine_as_their_number() -> None:
    """A steel rule tells half millimetres: 149.00 mm was asked of one."""
    number = Number(what="blade length", value=150.0, low=149.0, high=151.0, measure="blade length")
    assert value_shown(number).text == "150 mm (5-29/32 in)"
    assert limits_shown(number) == "149 to 151 mm (5-55/64 to 5-15/16 in)"
    assert limits_shown(dataclasses.replace(number, high=None)) == "at least 149 mm (5-55/64 in)"


def test_no_hand_is_measured_on_the_finished_knife() -> None:
    made = design("galley_petty")
    assert made.knife.hand_breadth
    assert "hand breadth" not in text_of(labels(inspection_of(made)))


def test_a_hidden_tang_is_sharpened_with_its_handle_on() -> None:
    hidden = specimens.ground(join_halves(DropPoint(), get("stick_tang")()), height=12.0)
    steps = {step.key: step for step in Design(hidden).route.operations}
    assert "Not before guard and handle block" in steps["sharpen"].tasks[0]
    assert not any("handle block" in task for step in design("plain").route.operations for task in step.tasks)

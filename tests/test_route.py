"""The route: what a design needs in working order, and what a maker's changes break."""

from __future__ import annotations

import dataclasses
import datetime
import re
from fractions import Fraction
from functools import cache
from typing import Any

import fastened
import pytest
import specimens
from draws import draws
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.drilling.card import DrillCard
from bladegeom.knife.knife import Knife
from bladegeom.knife.zone import MarkZone, TextureZone
from bladegeom.mass.weigh import weigh
from bladegeom.order.order import Order, Requirement
from bladegeom.order.order_facts import Sheath
from bladegeom.order.order_ways import Finish, HandCheck, Measured
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.heat_treatments import HeatTreatment
from bladegeom.quantities.materials import Material
from bladegeom.signoff.check_order import check_order
from bladegeom.workshop.heat_treat import heat_treat_card
from bladegeom.workshop.operation import Number, Operation
from bladegeom.workshop.quench import Plates
from bladegeom.workshop.route import Route, route
from bladegeom.workshop.saw import PITCHES, saw_for
from bladegeom.workshop.sequence import broken_sequence
from bladegeom.workshop.steps import AddStep, DropStep, MoveStep, changed
from bladegeom.workshop.work import Glue, Work

MARK = MarkZone(x=6.0, y=-6.0, width=6.0, height=3.0, text="DECK 1")
ETCH = Finish(operation="etch", finish="coffee, dark")

_PAIRS = (
    ("drill", "heat_treat"),
    ("rough_grind", "heat_treat"),
    ("heat_treat", "temper"),
    ("temper", "straighten"),
    ("straighten", "finish_grind"),
    ("finish_grind", "surface"),
    ("mark", "etch"),
    ("finish_grind", "handle"),
    ("etch", "handle"),
    ("surface", "handle"),
    ("dry_fit", "handle"),
    ("handle", "contour"),
    ("contour", "peen"),
    ("contour", "sheath"),
    ("peen", "sheath"),
    ("sheath", "sharpen"),
    ("contour", "sharpen"),
    ("sharpen", "inspect"),
)
"""The trade's order, written down apart from the code's own table."""


def order(*ways: Any, weight: Any = "must") -> Order:
    wishes = tuple(
        Requirement(number=i, text="a wish", concerns="use", weight=weight, met=way)
        for i, way in enumerate(ways, start=1)
    )
    start = datetime.date(2026, 3, 2)
    return Order(number="T-1", customer="the ship's cook", date=start, requirements=wishes)


def everything() -> Order:
    """An order that adds the steps which no design needs by itself."""
    return dataclasses.replace(order(ETCH), sheath=Sheath(material="leather", side="left", belt=40.0))


@cache
def full() -> Route:
    """A knife that has every step: all hardware, a rough edge, a mark, an etch, a sheath."""
    knife = fastened.mixed()
    knife = dataclasses.replace(
        knife,
        grind=dataclasses.replace(knife.grind, rough_edge=0.8),
        zones=(MARK, TextureZone(start=30.0, end=70.0, depth=0.2)),
    )
    return route(knife, everything())


def with_steps(*steps: Any) -> Route:
    """The full route changed; what is derived from the design is shared."""
    made = Route(full().knife, full().order, full().work, steps)
    made.__dict__["derived"] = full().derived
    return made


@st.composite
def jobs(draw: st.DrawFn) -> tuple[Knife, Order | None]:
    """A random bar with hardware, with or without rough edge, mark, etch, of any metal."""
    knife = draw(fastened.knives())
    metal = draw(st.sampled_from(["1084", "O1", "A2", "D2", "440C", "1.4034", "1.2842", "304", "Ti-6Al-4V"]))
    knife = dataclasses.replace(
        knife,
        stock=dataclasses.replace(knife.stock, steel=metal),
        grind=dataclasses.replace(knife.grind, rough_edge=draw(st.sampled_from([None, 0.5, 1.0]))),
        zones=draw(st.sampled_from([(), (MARK,)])),
    )
    wishes = draw(st.sampled_from([None, order(ETCH), order(HandCheck(look="a cord passes", signed="maker"))]))
    return knife, wishes


@draws(12)
@given(jobs())
def test_the_derived_route_keeps_every_constraint(job: tuple[Knife, Order | None]) -> None:
    made = route(*job)
    at = {key: i for i, key in enumerate(made.keys)}
    assert len(at) == len(made.keys)
    assert all(at[a] < at[b] for a, b in _PAIRS if a in at and b in at)
    assert made.keys[-2:] == ("sharpen", "inspect")
    if "heat_treat" in at:
        assert at["temper"] == at["heat_treat"] + 1
    assert not [finding for finding in made.findings if finding.severity == "error"]
    _assert_rows(made)
    _assert_only_what_is_needed(made, job[1])


def _assert_rows(made: Route) -> None:
    """Every row of the drill card stands in one step, in the card's order; steel is drilled in one step while soft."""
    rows = [row for operation in made.operations for row in operation.rows]
    assert {id(row) for row in rows} == {id(row) for row in made._rows}
    assert len(rows) == len(made._rows)
    for operation in made.operations:
        order_of = [made._rows.index(row) for row in operation.rows]
        assert order_of == sorted(order_of)
    hot = made.keys.index("heat_treat") if made.hardened else len(made.keys)
    for name in made.knife.hole_ids:
        drilled = [
            i
            for i, operation in enumerate(made.operations)
            for row in operation.rows
            for feature in row.makes
            if feature.piece == "tang" and feature.hole == name
        ]
        assert drilled == [made.keys.index("drill")]
        assert drilled[0] < hot


def _assert_only_what_is_needed(made: Route, wishes: Order | None) -> None:
    knife, keys = made.knife, set(made.keys)
    assert ("drill" in keys) == bool(knife.openings)
    assert ("mark" in keys) == bool(knife.zones)
    assert ("rough_grind" in keys) == (knife.grind.rough_edge is not None)
    hardens = knife.stock.material.kind == "steel"
    assert {"heat_treat", "temper", "straighten"} & keys == (
        {"heat_treat", "temper", "straighten"} if hardens else set()
    )
    assert ({"dry_fit", "handle", "contour"} <= keys) == (knife.scales is not None)
    assert ("peen" in keys) == (
        knife.scales is not None and any(f.hardware == fastened.PEENED for f in knife.fasteners)
    )
    etched = wishes is not None and any(
        isinstance(way, Finish) for requirement in wishes.requirements for way in requirement.ways
    )
    assert ("etch" in keys) == etched


def test_a_full_route_stands_in_the_trades_order() -> None:
    assert full().keys == (
        *("template", "cut", "drill", "rough_grind", "heat_treat", "temper", "straighten", "finish_grind"),
        *("surface", "mark", "etch", "dry_fit", "handle", "contour", "peen", "sheath", "sharpen", "inspect"),
    )
    assert not full().findings


@pytest.mark.parametrize("key", full().keys)
def test_a_moved_step_is_found_just_where_it_breaks_an_order(key: str) -> None:
    """Every step moved in front of and behind every other one."""
    for beside in full().keys:
        if beside != key:
            for move in (MoveStep(key=key, before=beside), MoveStep(key=key, after=beside)):
                _assert_found(changed(full().operations, (move,)))


def _assert_found(moved: tuple[Operation, ...]) -> None:
    at = {operation.key: i for i, operation in enumerate(moved)}
    found = tuple(broken_sequence(moved))
    messages = " ".join(finding.message for finding in found)
    wrong = [(a, b) for a, b in _PAIRS if at[a] > at[b]]
    for a, b in wrong:
        assert any(f"({a}) stands after" in finding.message and f"({b}):" in finding.message for finding in found)
    if at["temper"] > at["heat_treat"] + 1:
        assert "between heat_treat and temper" in messages
    if list(at) == list(full().keys):
        assert not found
    assert all(finding.severity == "error" and "move it" in finding.message for finding in found)


def test_a_cold_treatment_may_stand_between_quench_and_temper() -> None:
    cold = Operation(key="cold", title="Cold treatment", tasks=("Dry ice.",), after=("heat_treat",), before=("temper",))
    assert not with_steps(AddStep(operation=cold, after="heat_treat")).findings
    coffee = dataclasses.replace(cold, key="coffee", after=(), before=())
    found = with_steps(AddStep(operation=coffee, after="heat_treat")).findings
    assert [finding.code for finding in found] == ["route-at-once"]


@pytest.mark.parametrize("key", full().keys)
def test_a_step_that_the_design_needs_is_missed(key: str) -> None:
    made = with_steps(DropStep(key=key, why="no time"))
    found = [finding for finding in made.findings if finding.code == "route-step-dropped"]
    assert key not in made.keys
    assert made.dropped[0][1] == "no time"
    assert bool(found) == (key not in {"template", "straighten"})
    assert all(f"({key})" in finding.message and "no time" in finding.message for finding in found)


def test_a_step_of_ones_own() -> None:
    own = Operation(key="blue_spine", title="Blue the spine", tasks=("Torch.",), before=("handle",), after=("etch",))
    right = route(
        full().knife,
        order(ETCH, Finish(operation="blue_spine", finish="straw")),
        steps=(AddStep(operation=own, after="etch"),),
    )
    assert right.operation("blue_spine").finish == "straw (requirement 2)"
    assert not right.findings
    late = with_steps(AddStep(operation=own, after="handle"))
    assert [finding.code for finding in late.findings] == ["route-order"]
    assert "(blue_spine) stands after 'Glue and clamp the handle'" in late.findings[0].message


def test_a_hole_drilled_late_under_another_name_is_found() -> None:
    row = next(row for row in DrillCard(full().knife).steps if row.phase == "before hardening" and row.makes)
    own = Operation(key="forgotten", title="The forgotten hole", rows=(row,))
    made = with_steps(AddStep(operation=own, after="finish_grind"))
    assert [finding.code for finding in made.findings] == ["route-hole-after-hardening"]
    assert row.holes[0] in made.findings[0].message
    early = with_steps(AddStep(operation=own, after="drill"))
    assert not early.findings


@pytest.mark.parametrize(
    ("steps", "error", "told"),
    [
        ((DropStep(key="anodise"),), UnknownNameError, "step of the work"),
        ((DropStep(key="mark"), DropStep(key="mark")), UnknownNameError, "step of the work"),
        ((AddStep(operation=Operation(key="mark", title="Again"), after="etch"),), ParameterError, "no other step"),
        (DropStep(key="mark"), ParameterError, "with its comma"),
        (("mark",), ParameterError, "with its comma"),
    ],
)
def test_changes_that_make_no_sense(steps: Any, error: type[Exception], told: str) -> None:
    with pytest.raises(error, match=told):
        route(full().knife, order(ETCH), steps=steps)


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda: MoveStep(key="mark"), "before or by after"),
        (lambda: MoveStep(key="mark", before="etch", after="surface"), "before or by after"),
        (lambda: MoveStep(key="mark", before="mark"), "another step"),
        (lambda: AddStep(operation="mark", after="etch"), "be written like"),  # type: ignore[arg-type]
        (lambda: Operation(key="Blue Spine", title="x"), "short name in small letters"),
        (lambda: Operation(key="x", title="x", tasks="saw"), "with its comma"),  # type: ignore[arg-type]
        (lambda: Operation(key="x", title="x", blanks=("saw",)), "Number"),  # type: ignore[arg-type]
        (lambda: Number(what="x", unit="inch"), "'mm', 'g'"),  # type: ignore[arg-type]
        (lambda: Number(what="x", value=float("inf")), "finite"),
        (lambda: Number(what="x", low=2.0, high=1.0), "at most high"),
        (lambda: Work(hardness=(62.0, 60.0)), "lower number first"),
        (lambda: Work(hardness=(58.0, 59.0, 60.0)), "hardness"),  # type: ignore[arg-type]
        (lambda: Work(hardness=(0.0, 60.0)), "from 20 to 70"),
        (lambda: Glue(clamp_hours=30.0), "at least the clamp hours"),
    ],
)
def test_values_that_no_job_has(make: Any, told: str) -> None:
    with pytest.raises(ParameterError, match=told):
        make()


def test_the_orders_finish_stands_in_its_step_and_holds_it() -> None:
    wishes = order(Finish(operation="surface", finish="satin"), Finish(operation="straighten", finish="dead straight"))
    made = route(specimens.drop_point(), wishes, work=Work(finish="belt, 400 grit"))
    assert made.operation("surface").finish == "satin (requirement 1)"
    assert made.operation("surface").tasks[0] == "Finish: belt, 400 grit."
    dropped = route(specimens.drop_point(), wishes, steps=(DropStep(key="straighten"),))
    assert [finding.code for finding in dropped.findings] == ["route-step-dropped"]
    open_one = route(specimens.drop_point(), order(ETCH, weight="open"))
    assert open_one.operation("etch").finish == "coffee, dark (requirement 1, still open)"


def test_a_sheath_is_a_step_with_its_facts_and_is_tried_at_the_inspection() -> None:
    sheath = Sheath(material="leather, oak bark", side="left", belt="40 mm", angle_deg=15, ride="high", loop=True)
    made = route(
        specimens.drop_point(), dataclasses.replace(order(), sheath=dataclasses.replace(sheath, retention="strap"))
    )
    step = made.operation("sheath")
    words = " ".join(step.tasks)
    for fact in (
        "leather, oak bark",
        "left side",
        "high ride",
        "15 degrees",
        "40 mm (1-37/64 in)",
        "Held by: strap",
        "fire steel",
    ):
        assert fact in words
    slot = next(number for number in made.inspection if number.what == "slot of the sheath")
    # 2 to 4 mm wider than the belt.
    assert (slot.low, slot.value, slot.high) == (42.0, None, 44.0)
    assert set(step.blanks) <= set(made.inspection)
    numbers = {number.what: number.value for number in step.numbers}
    assert numbers["thickness"] == made.knife.stock.thickness
    assert "sheath" not in route(specimens.drop_point(), order()).keys
    gone = route(made.knife, made.order, steps=(DropStep(key="sheath"),))
    assert [finding.code for finding in gone.findings] == ["route-step-dropped"]


def test_no_slot_is_measured_against_limits_that_exclude_what_was_ordered() -> None:
    for slot, limits in ((43.0, (42.0, 44.0)), (50.0, (None, None))):
        sheath = Sheath(material="leather", side="left", belt=40.0, slot=slot)
        line = route(specimens.drop_point(), dataclasses.replace(order(), sheath=sheath)).operation("sheath").blanks[0]
        assert (line.value, (line.low, line.high)) == (slot, limits)


def test_a_hardness_of_the_makers_own_must_lie_in_the_orders() -> None:
    knife = specimens.drop_point()
    wanted = order(Measured(measure="hardness", low=60.0, high=62.0))
    for hardness, count in (((60.0, 62.0), 0), ((60.5, 61.0), 0), ((59.0, 61.0), 1), ((61.0, 63.0), 1)):
        found = [
            finding
            for finding in check_order(wanted, knife, work=Work(hardness=hardness))
            if finding.code == "work-hardness"
        ]
        assert [finding.severity for finding in found] == ["error"] * count
    wish = order(Measured(measure="hardness", low=60.0), weight="wish")
    (soft,) = (
        finding
        for finding in check_order(wish, knife, work=Work(hardness=(58.0, 60.0)))
        if finding.code == "work-hardness"
    )
    assert (soft.severity, soft.measured, soft.limit) == ("warning", 58.0, 60.0)


@pytest.mark.parametrize(
    ("steel", "work"),
    [
        ("Ti-6Al-4V", Work(hardness=(40.0, 42.0))),
        ("Ti-6Al-4V", Work(plates=Plates(length=300.0, width=150.0))),
        ("1.4116", Work(mark="engraved")),
        ("1.4116", Work(glue=Glue(clamp_hours=8.0))),
    ],
)
def test_what_is_settled_and_done_nowhere_is_found(steel: str, work: Work) -> None:
    bare = dataclasses.replace(specimens.drop_point(), scales=None, fasteners=(), zones=())
    bare = dataclasses.replace(bare, stock=dataclasses.replace(bare.stock, steel=steel))
    assert "work-unused" in [finding.code for finding in route(bare, work=work).findings]
    assert "work-unused" not in [finding.code for finding in route(bare).findings]


def test_what_a_step_of_ones_own_measures_is_inspected() -> None:
    depth = Number(what="depth", value=0.15, low=0.1, high=0.2)
    own = Operation(key="engrave", title="Engrave", blanks=(depth, Number(what="graver", unit="text")))
    made = with_steps(AddStep(operation=own, after="mark"))
    carried = [number for number in made.inspection if "(Engrave)" in number.what]
    assert [(number.what, number.value, number.limits) for number in carried] == [
        ("depth (Engrave)", 0.15, depth.limits)
    ]
    dropped = with_steps(AddStep(operation=own, after="mark"), DropStep(key="engrave"))
    assert not [number for number in dropped.inspection if "(Engrave)" in number.what]


def test_hardness_of_the_order_becomes_a_temper_and_a_line_of_the_inspection() -> None:
    knife = dataclasses.replace(
        specimens.drop_point(), stock=dataclasses.replace(specimens.drop_point().stock, steel="O1")
    )
    made = route(knife, order(Measured(measure="hardness", low=60.0, high=62.0)))
    temper = made.operation("temper").numbers[0]
    # O1: 62 HRC at 204 C and 60 at 260 C, straight between; from 230 C it is to be avoided, and an oven wanders.
    assert (temper.low, temper.value, temper.high) == (204.0, 225.0, 230.0)
    (line,) = (number for number in made.inspection if number.measure == "hardness")
    assert (line.low, line.high, line.source) == (60.0, 62.0, "the order")
    assert not made.findings
    own = route(knife, order(Measured(measure="hardness", low=60.0, high=62.0)), work=Work(hardness=(58.0, 59.0)))
    assert own.operation("temper").numbers[0].value > 260.0  # type: ignore[operator]


def test_hardness_that_the_table_does_not_give_is_a_finding() -> None:
    for low, high in ((66.0, 68.0), (20.0, 30.0)):
        made = route(specimens.drop_point(), work=Work(hardness=(low, high)))
        assert [finding.code for finding in made.findings] == ["hardness-window"]
        assert "nothing is guessed outside" in made.findings[0].message
        assert all(number.what != "temper at" for number in made.operation("temper").numbers)
    torn = order(Measured(measure="hardness", low=61.0), Measured(measure="hardness", high=60.0))
    assert [finding.code for finding in route(specimens.drop_point(), torn).findings] == ["hardness-window"]


def test_a_steel_without_rows_gets_blanks_and_no_recipe() -> None:
    own = Material(
        name="bar from the loft",
        kind="steel",
        density_g_cm3=7.8,
        low=7.7,
        high=7.9,
        source="invented",
        confidence="low",
    )
    knife = dataclasses.replace(
        specimens.drop_point(), stock=dataclasses.replace(specimens.drop_point().stock, steel=own)
    )
    made = route(knife)
    assert [finding.code for finding in made.findings] == ["heat-treat-unknown"]
    assert "data sheet" in made.findings[0].message
    assert not made.operation("heat_treat").numbers
    assert not made.operation("temper").numbers
    sheet = HeatTreatment(steel="bar from the loft", austenitize_c=1080.0, source="its maker's sheet", plates=True)
    known = route(knife, work=Work(treatment=sheet))
    assert not known.findings
    assert known.operation("heat_treat").numbers[0].value == 1080.0
    with pytest.raises(ParameterError) as caught:
        route(specimens.drop_point(), work=Work(treatment=sheet))
    assert caught.value.field == "treatment"


def test_rooms_are_told_in_lengths_that_a_shop_cuts() -> None:
    plain = specimens.ground(specimens.bar_outline(), steel="A2")
    told = [number for number in route(plain).operation("heat_treat").numbers if number.room]
    assert {"foil, length", "kiln, least length inside"} <= {number.what for number in told}
    for number in told:
        whole = re.fullmatch(r"(\d+) mm \((\d+)(?:-(1/2|[13]/4|[1357]/8))? in\)", number.text)
        assert whole, number.text
        assert number.value is not None
        assert float(whole[1]) >= number.value - 1e-6
        assert 25.4 * (float(whole[2]) + float(Fraction(whole[3] or 0))) >= number.value - 1e-6


def test_what_must_fit_into_kiln_foil_plates_and_oil() -> None:
    """A bar of 300 by 30 by 4 mm of A2 at 7.86 g/cm3: 282.96 g."""
    plain = specimens.ground(specimens.bar_outline(), steel="A2")
    numbers = {number.what: number for number in route(plain).operation("heat_treat").numbers}
    assert numbers["mass of the steel as hardened"].value == pytest.approx(282.96)
    # 10 mm free at both ends and two folds of 10 mm; twice the height, thickness, room and folds of one half.
    assert numbers["foil, length"].value == pytest.approx(300 + 20 + 40)
    assert numbers["foil, width"].value == pytest.approx(2 * (30 + 4 + 20 + 20))
    assert numbers["kiln, least length inside"].value == pytest.approx(300 + 20 + 50)
    assert numbers["plates, length"].value == 320.0
    assert numbers["plates, width"].value == 100.0
    quench = heat_treat_card(plain).plate_quench
    assert quench is not None
    assert 0 < quench.rise <= 25.0
    short, long = numbers["time to 50 C (122 F)"].low, numbers["time to 50 C (122 F)"].high
    assert short is not None
    assert long is not None
    assert 0 < short < long
    oil = {
        number.what: number
        for number in route(specimens.ground(specimens.bar_outline())).operation("heat_treat").numbers
    }
    assert oil["quench vessel, least depth inside"].value == pytest.approx(300 + 150)
    # 36,000 mm3 of 1084 at 7.85 g/cm3 are 0.2826 kg, at 8 L for each.
    assert oil["oil, least for each blade"].value == pytest.approx(8 * 0.2826)
    assert not [what for what in oil if "time" in what or "plates" in what or "foil" in what]


def test_own_plates_that_are_too_thin_are_a_finding() -> None:
    plain = specimens.ground(specimens.bar_outline(), steel="A2")
    made = route(plain, work=Work(plates=Plates(length=300.0, width=60.0, thickness=5.0)))
    assert [finding.code for finding in made.findings] == ["quench-plates"]
    assert all("time to" not in number.what for number in made.operation("heat_treat").numbers)


def test_a_metal_that_is_no_steel_is_not_hardened() -> None:
    made = route(specimens.ground(specimens.bar_outline(), steel="Ti-6Al-4V"))
    assert not {"heat_treat", "temper", "straighten"} & set(made.keys)
    assert all(number.measure != "hardness" for number in made.inspection)
    assert not made.findings


@given(st.floats(0.5, 12.0))
def test_three_teeth_bite_or_the_saw_is_slanted(thickness: float) -> None:
    saw = saw_for(thickness)
    coarser = [pitch for pitch in PITCHES if pitch < saw.teeth_per_inch]
    assert all(pitch * thickness / 25.4 < 3.0 for pitch in coarser)
    assert f" {saw.teeth_told:.1f} teeth bite" in saw.words
    assert saw.bites == (saw.teeth_told >= 3.0)
    if saw.bites:
        assert saw.teeth >= 3.0
        assert saw.slant_deg == 90.0
    else:
        assert saw.teeth_per_inch == PITCHES[-1]
        assert "slant the saw" in saw.words


@pytest.mark.parametrize(("rough_edge", "key"), [(0.8, "rough_grind"), (None, "finish_grind")])
def test_a_taper_is_ground_where_the_first_grinding_is(rough_edge: float | None, key: str) -> None:
    knife = fastened.bar(taper=((-95.0, 2.0), (-5.0, 4.0)))
    knife = dataclasses.replace(knife, grind=dataclasses.replace(knife.grind, rough_edge=rough_edge))
    told = {
        operation.key for operation in route(knife).operations for task in operation.tasks if "tapered: 2.00 mm" in task
    }
    assert told == {key}


def test_the_saw_line_tells_both_pitches() -> None:
    assert saw_for(25.4 / 8).words.startswith("24 teeth per inch (23.6 per 25 mm): 3.0 teeth bite 3.175 mm (1/8 in)")


def test_the_inspection_holds_what_the_knife_measures() -> None:
    made = full()
    lines = {number.what: number for number in made.inspection}
    total = weigh(made.knife).total.amount
    assert lines["mass"].value == pytest.approx(total)
    assert lines["balance"].value == pytest.approx(weigh(made.knife).balance_from_front)
    before = [
        number for number in made.inspection if number.what.endswith(", before hardening") and "edge" in number.what
    ]
    after = [number for number in made.inspection if number.what.endswith(", before sharpening")]
    assert [number.value for number in before] == pytest.approx([0.8] * len(before), abs=0.02)
    assert [number.value for number in after] == pytest.approx([0.5] * len(after), abs=0.02)
    assert len(before) == len(after) > 2
    assert made.operation("inspect").blanks == made.inspection


def test_a_pitch_after_hardening_follows_the_one_measured_before() -> None:
    knife = fastened.bar(fastened.at(-20.0, fastened.PIN), fastened.at(-80.0, fastened.PIN, y=-23.0))
    knife = dataclasses.replace(knife, stock=dataclasses.replace(knife.stock, steel="O1"))
    soft, hard = (number for number in route(knife).inspection if number.what.startswith("pitch F1 to F2"))
    assert soft.value == pytest.approx(60.53098380)  # the root of 60^2 + 8^2
    # No hand-drilled hole keeps hundredths, and the drawing says nothing of a blade that has grown.
    assert (soft.low, soft.high, hard.value, hard.low, hard.high) == (None,) * 5
    # O1's sheet: 0.001 to 0.002 of the length.
    assert "expect 0.06 to 0.12 mm (0.002 to 0.005 in) more than before" in hard.note


def test_the_dry_fit_measures_the_tang_and_waits_for_glued_liners() -> None:
    knife = fastened.bar(
        fastened.at(-20.0, fastened.INCH_STANDOFF), fastened.at(-80.0, fastened.PIN), scales=fastened.GLUED
    )
    fit = route(knife).operation("dry_fit")
    (tang,) = (blank for blank in fit.blanks if blank.what.startswith("tang at"))
    # 4 mm, give or take the tolerance of 0.05 mm.
    assert (tang.what, tang.value) == ("tang at F1, before any depth is set", 4.0)
    assert tang.low == pytest.approx(3.95)
    assert tang.high == pytest.approx(4.05)
    assert any("Glue the liners to the slabs" in text and "24 h" in text for text in fit.tasks)
    loose = route(dataclasses.replace(knife, scales=fastened.LINED)).operation("dry_fit")
    assert not any("Glue the liners" in text for text in loose.tasks)


@pytest.mark.parametrize("steel", ["1084", "O1", "440C", "Ti-6Al-4V"])
def test_no_window_of_ours_excludes_its_own_nominal(steel: str) -> None:
    knife = fastened.mixed(scales=fastened.FLAT, taper=())
    knife = dataclasses.replace(
        knife,
        stock=dataclasses.replace(knife.stock, steel=steel),
        grind=dataclasses.replace(knife.grind, rough_edge=0.8),
    )
    made = route(knife)
    told = [
        number
        for step in made.operations
        for number in (*step.numbers, *step.rests, *step.within, *step.waits, *step.blanks)
    ]
    windows = [number for number in (*told, *made.inspection) if number.value is not None]
    assert len(windows) > 40
    for window in windows:
        assert window.low is None or window.low <= window.value, window  # type: ignore[operator]
        assert window.high is None or window.value <= window.high, window  # type: ignore[operator]


def test_limits_of_the_order_stand_in_the_inspection() -> None:
    wishes = order(
        Measured(measure="mass", high=150.0),
        Measured(measure="mass", low=90.0, high=170.0),
        Measured(measure="Edge  length", low=100.0),
        Measured(measure="heft", low=1.0),
        HandCheck(look="a cord of 5 mm passes double", signed="the cook"),
    )
    lines = {number.what: number for number in route(specimens.drop_point(), wishes).inspection}
    assert (lines["mass"].low, lines["mass"].high, lines["mass"].source) == (90.0, 150.0, "the order")
    assert lines["edge length"].limits.startswith("at least 100.00 mm")
    assert lines["a cord of 5 mm passes double (requirement 5)"].note == "signed by the cook"
    banded = route(dataclasses.replace(specimens.drop_point(), balance="hunter"))
    balance = next(number for number in banded.inspection if number.what == "balance")
    assert (balance.low, balance.high) == (-15.0, 0.0)


def test_every_step_says_what_it_needs() -> None:
    for operation in full().operations:
        assert operation.title
        assert operation.tasks or operation.rows
        assert all(len(caution) <= 120 for caution in operation.cautions)
        assert operation.blanks
    waits = {
        operation.key: [wait.unit for wait in operation.waits] for operation in full().operations if operation.waits
    }
    assert waits == {"temper": ["h"], "handle": ["h", "h"]}
    assert [time.unit for time in full().operation("handle").within] == ["min"]
    rests = {
        operation.key: [rest.text for rest in operation.rests] for operation in full().operations if operation.rests
    }
    assert rests == {"drill": ["30 min"]}
    glue = route(full().knife, work=Work(glue=Glue(open_minutes=5.0, clamp_hours=2.0, cure_hours=16.0, source="sheet")))
    assert [time.text for time in glue.operation("handle").within] == ["5 min"]
    assert [wait.text for wait in glue.operation("handle").waits] == ["2 h", "16 h"]
    wooden = fastened.bar(scales=dataclasses.replace(fastened.FLAT, slab="Juglans nigra"))
    assert route(wooden).operation("dry_fit").rests[0].text == "72 h"


@pytest.mark.parametrize(
    ("number", "text", "limits"),
    [
        (
            Number(what="x", value=6.35, low=6.0, high=7.0),
            "6.35 mm (1/4 in)",
            "6.00 mm (0.236 in) to 7.00 mm (0.276 in)",
        ),
        (Number(what="x", unit="C", value=200.0, high=230.0), "200 C (392 F)", "at most 230 C (446 F)"),
        (Number(what="x", unit="C", low=200.0, high=230.0), "", "200 to 230 C (392 to 446 F)"),
        (Number(what="x", unit="K", value=10.0), "10.0 K (18.0 F)", ""),
        (Number(what="x", unit="HRC", low=58.0, high=60.0), "", "58.0 to 60.0 HRC"),
        (Number(what="x", unit="count", value=8.0, low=8.0, high=8.0), "8", "8"),
        (Number(what="x", unit="g", low=120.0), "", "at least 120 g"),
    ],
)
def test_numbers_are_told_in_the_units_of_the_shop(number: Number, text: str, limits: str) -> None:
    assert number.text == text
    assert number.limits == limits


def test_the_same_design_gives_the_same_route() -> None:
    again = route(full().knife, everything())
    assert again.operations == full().operations
    with pytest.raises(UnknownNameError, match="step of the work"):
        again.operation("anodise")

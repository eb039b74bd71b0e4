"""What each piece of hardware needs drilled, and what it refuses."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest
from handles import BOLT, INCH, METRIC, ROD
from hypothesis import assume, given
from hypothesis import strategies as st
from refusals import assert_refused

from bladegeom.fasteners.bolt.kind import ShoulderedBolt
from bladegeom.fasteners.pin import Pin
from bladegeom.fasteners.standoff.kind import StandoffScrews
from bladegeom.fasteners.tube import Tube
from bladegeom.knife.fastener import Fastener
from bladegeom.knife.hardware.bore import CLEARANCE, GLUED, HEAD, PEENED, SLIP, Bore, chosen_drill, drill_for
from bladegeom.knife.rules import boxed_set
from bladegeom.quantities.drills import Drill, drill_index, drills
from bladegeom.quantities.errors import BladegeomError, ParameterError, UnknownNameError
from bladegeom.quantities.heads import CountersunkHead
from bladegeom.quantities.materials import material
from bladegeom.quantities.screw_holes import clearance_holes
from bladegeom.quantities.threads import Thread

BOX, METRIC_BOX = boxed_set(), drill_index("metric")


def bore(bores: tuple[Bore, ...], layer: str, shape: str = "through hole") -> Bore:
    (layer_bore,) = (candidate for candidate in bores if (candidate.layer, candidate.shape) == (layer, shape))
    return layer_bore


def test_a_glued_pin_has_room_in_the_tang_and_slips_through_the_scales() -> None:
    # 3/16 in = 4.7625: #12 = 0.189 in leaves 0.038 mm, #11 = 0.191 in leaves 0.089, the first with 0.05 or more.
    bores = ROD.bores(BOX)
    assert [(layer_bore.layer, layer_bore.drill.name) for layer_bore in bores] == [
        ("tang", "#11"),
        ("liner", "3/16"),
        ("scale", "3/16"),
    ]
    assert bores[0].diameter == pytest.approx(0.191 * 25.4)


def test_a_peened_pin_has_room_to_swell_in_the_tang() -> None:
    tang = bore(Pin(rod="C26000", diameter=4.7625, peened=True).bores(BOX), "tang")
    assert 1.25 * 4.7625 <= tang.diameter <= 1.5 * 4.7625


def test_holes_that_a_maker_declares_are_taken() -> None:
    bores = dataclasses.replace(ROD, tang_hole=5.2, scale_hole="#12").bores(BOX)
    assert bore(bores, "tang").diameter == 5.2
    assert bore(bores, "scale").drill == chosen_drill("#12")
    own = Drill(name="reamer", series="metric", diameter=4.77, source="measured", confidence="high")
    assert bore(dataclasses.replace(ROD, scale_hole=own).bores(BOX), "scale").drill == own


def test_a_standoff_needs_its_pocket_as_wide_as_its_hole_and_the_heads_sharp_diameter() -> None:
    bores = INCH.bores(BOX)
    assert bores[0].layer == "tang"
    assert bore(bores, "scale", "pocket").diameter == bore(bores, "tang").diameter
    assert GLUED[0] <= bore(bores, "tang").diameter - 6.35 <= GLUED[1]
    sink = bore(bores, "scale", "countersink")
    # A head of 0.279 in goes into a counterbore of drill K, 0.281 in: J is 0.277.
    assert sink.cone_diameter == pytest.approx(0.279 * 25.4)
    assert sink.drill.name == "K"
    assert sink.diameter == pytest.approx(0.281 * 25.4)
    assert bore(bores, "scale", "pocket").drill == bore(bores, "tang").drill
    assert sink.angle_deg == 82.0
    assert bore(METRIC.bores(BOX), "scale", "countersink").angle_deg == 90.0
    assert bore(INCH.bores(BOX), "scale").drill == chosen_drill("#18")


def test_a_shoulder_has_a_hole_and_a_head_its_counterbore() -> None:
    bores = BOLT.bores(BOX)
    assert bore(bores, "scale", "counterbore").drill == chosen_drill("3/8")
    assert bore(BOLT.bores(METRIC_BOX), "scale", "counterbore").diameter == 9.5
    for layer in ("tang", "liner", "scale"):
        assert GLUED[0] <= bore(bores, layer).diameter - 6.35 <= GLUED[1]


def test_every_screws_hole_finds_a_drill() -> None:
    """In the shop's index where one there serves: an inch drill for M4 (4.5 mm) is #16, 4.496 mm."""
    for index in [BOX, METRIC_BOX]:
        for hole in clearance_holes():
            drill = drill_for(hole.diameter, CLEARANCE, index)
            assert CLEARANCE[0] - 1e-6 <= drill.diameter - hole.diameter <= CLEARANCE[1] + 1e-6
            serves = [d for d in index if CLEARANCE[0] <= d.diameter - hole.diameter <= CLEARANCE[1]]
            assert (drill in index) == bool(serves)


@given(st.floats(3.0, 12.0), st.sampled_from([BOX, METRIC_BOX]))
def test_a_head_has_play_in_the_thinnest_counterbore_that_lets_it_in(head: float, index: tuple[Drill, ...]) -> None:
    own = CountersunkHead(
        standard="own", thread="#2", angle_deg=82, sharp_diameter=head, head_height=1, source="test", confidence="low"
    )
    over = bore(StandoffScrews(thread="#2-56", diameter=5.0, length=9.0, head=own).bores(index), "scale", "countersink")
    shelf = [drill for drill in index if HEAD[0] <= drill.diameter - head <= HEAD[1]] or drills()
    assert over.drill in shelf
    assert HEAD[0] - 1e-9 <= over.diameter - head <= HEAD[1] + 1e-9
    assert not any(head <= drill.diameter < over.diameter - 1e-9 for drill in shelf)


def test_holes_of_one_s_own_in_standoffs_and_bolts() -> None:
    own = dataclasses.replace(INCH, tang_hole="F", screw_hole=4.0, head_hole="L").bores(BOX)
    assert [layer_bore.drill.name for layer_bore in own] == ["F", "F", "4 mm", "F", "L"]
    bolt = dataclasses.replace(BOLT, tang_hole="F", scale_hole=6.4, head_hole=9.6).bores(BOX)
    assert [layer_bore.drill.name for layer_bore in bolt] == ["F", "6.4 mm", "6.4 mm", "9.6 mm"]


def test_a_thread_without_a_clearance_hole_takes_that_of_the_maker() -> None:
    """ASME B18.2.8 has no #12: "else give the hole's diameter"."""
    head = CountersunkHead(
        standard="own", thread="#12", angle_deg=82, sharp_diameter=11.0, head_height=3, source="test", confidence="low"
    )
    thread12 = Thread(
        name="#12-24", system="inch", major=5.486, pitch=1.0583, minor=4.34, source="test", confidence="low"
    )
    with pytest.raises(ParameterError, match="else give the hole's diameter"):
        StandoffScrews(thread=thread12, diameter=8.0, length=12.0, head=head)
    screws = StandoffScrews(thread=thread12, diameter=8.0, length=12.0, head=head, screw_hole=5.6)
    assert bore(screws.bores(BOX), "scale").diameter == 5.6


@pytest.mark.parametrize(
    ("metal", "held"),
    [
        ("304", "hard"),
        ("1084", "hard"),
        ("C36000", "hard"),
        ("C26000", "hard"),
        ("Ti-6Al-4V", "hard"),
        ("6061", "soft"),
        ("C11000", "soft"),
    ],
)
def test_thread_holds_by_the_metal_unless_a_maker_says_otherwise(metal: str, held: str) -> None:
    other = "soft" if held == "hard" else "hard"
    assert dataclasses.replace(INCH, sleeve=metal).tapped_metal == held
    assert dataclasses.replace(BOLT, metal=metal).tapped_metal == held
    assert dataclasses.replace(INCH, sleeve=metal, tapped=other).tapped_metal == other
    assert dataclasses.replace(BOLT, metal=metal, tapped=other).tapped_metal == other


def test_a_metal_of_the_shops_own_counts_as_soft() -> None:
    own = dataclasses.replace(material("6061"), name="our bronze", note="")
    assert dataclasses.replace(INCH, sleeve=own).tapped_metal == "soft"


@pytest.mark.parametrize(
    ("new", "told"),
    [
        ({"thread": 6}, "standoff: thread | thread"),
        ({"thread": None}, "standoff: thread | thread"),
        ({"head": 3}, "standoff: head | head"),
        ({"fit": None}, "standoff: fit | normal"),
        ({"tapped": True}, "standoff: tapped"),
        (
            {"screw_hole": True},
            "standoff: screw_hole | screw_hole",
        ),
    ],
)
def test_what_is_no_word_is_told_in_trade_words(new: dict[str, Any], told: str) -> None:
    with pytest.raises(ParameterError) as caught:
        dataclasses.replace(INCH, **new)
    assert_refused(caught.value, told)


@pytest.mark.parametrize("hardware", [None, Pin, "pin"])
def test_what_is_no_hardware_is_told_in_trade_words(hardware: Any) -> None:
    with pytest.raises(ParameterError, match=r"fastener: hardware .*Pin"):
        Fastener(x=0.0, y=0.0, hardware=hardware)


def test_a_metric_screw_is_drilled_with_a_number_drill_where_there_is_no_metric_one() -> None:
    assert bore(METRIC.bores(BOX), "scale").drill == chosen_drill("#16")
    assert bore(METRIC.bores(METRIC_BOX), "scale").diameter == 4.5


@given(st.floats(1.0, 12.0), st.sampled_from([GLUED, SLIP, CLEARANCE]), st.sampled_from([BOX, METRIC_BOX]))
def test_the_nearest_drill_with_room_is_taken_and_the_index_goes_first(
    diameter: float, play: tuple[float, float], index: tuple[Drill, ...]
) -> None:
    def off(bit: Drill) -> float:
        return abs(bit.diameter - diameter)

    here, anywhere = (
        [bit for bit in shelf if diameter + play[0] <= bit.diameter <= diameter + play[1]]
        for shelf in (index, drills())
    )
    assume(here or anywhere)
    drill = drill_for(diameter, play, index)
    assert off(drill) <= min(off(other) for other in here or anywhere) + 1e-8
    assert play[0] - 1e-8 <= drill.diameter - diameter <= play[1] + 1e-8


def test_an_inch_screw_is_drilled_with_its_number_drill_though_the_shop_lacks_it() -> None:
    """4.3 mm would come near enough; #18 is the standard's own 0.1695 in."""
    assert bore(INCH.bores(()), "scale").drill == chosen_drill("#18")


def test_a_size_that_no_drill_is_made_in_is_refused() -> None:
    with pytest.raises(ParameterError, match="take thinner hardware"):
        drill_for(500.0, SLIP, BOX)


def test_a_drill_by_diameter_is_the_one_that_has_it() -> None:
    assert chosen_drill(4.7625).name == "3/16"
    assert (chosen_drill(4.77).name, chosen_drill(4.77).source) == ("4.77 mm", "asked for")
    with pytest.raises(UnknownNameError):
        chosen_drill("#999")


def test_swelling_counts_in_diameters() -> None:
    assert Pin(rod="304", diameter=4.0, peened=True).tang_play == (PEENED[0] * 4.0, PEENED[1] * 4.0)
    assert Pin(rod="304", diameter=4.0).tang_play == GLUED
    assert Tube(metal="304", outside=6.0, inside=4.0).tang_play == GLUED


def test_each_names_its_kind_purpose_and_metals() -> None:
    tube = Tube(metal="304", outside=6.35, inside=4.8)
    told = [
        (hardware.kind, hardware.purpose, [name for name, _ in hardware.materials])
        for hardware in (ROD, tube, BOLT, INCH)
    ]
    assert told == [
        ("glued pin", "fastener", ["pin"]),
        ("lanyard tube", "lanyard", ["lanyard tube"]),
        ("shouldered bolt", "fastener", ["shouldered bolt"]),
        ("standoff and screws", "fastener", ["standoff", "screws"]),
    ]
    assert Pin(rod="304", diameter=4.0, peened=True).kind == "peened pin"


@pytest.mark.parametrize(
    ("kind", "values", "match"),
    [
        (Pin, {"rod": "304", "diameter": 0.0}, "pin: diameter"),
        (Pin, {"rod": "304", "diameter": 4.0, "tang_hole": 3.9}, "pin: tang_hole"),
        (Pin, {"rod": "304", "diameter": 4.0, "scale_hole": "#60"}, "pin: scale_hole"),
        (Pin, {"rod": "304", "diameter": 4.0, "peened": "yes"}, "pin: peened"),
        (Tube, {"metal": "304", "outside": 6.0, "inside": 6.0}, "tube: inside"),
        (Tube, {"metal": "304", "outside": 6.0, "inside": 4.0, "tang_hole": 5.9}, "tube: tang_hole"),
        (Pin, {"rod": "unobtainium", "diameter": 4.0}, "unobtainium"),
    ],
)
def test_rods_that_cannot_be_are_refused(kind: type, values: dict[str, Any], match: str) -> None:
    with pytest.raises(BladegeomError, match=match):
        kind(**values)


@pytest.mark.parametrize(
    ("new", "match"),
    [
        ({"shoulder_diameter": 4.0}, "shoulder_diameter"),
        ({"head_diameter": 6.0}, "head_diameter"),
        ({"head_left": 4.5}, "head_left"),
        ({"stud_length": 0.0}, "stud_length"),
        ({"thread": "#7-32"}, "#7-32"),
    ],
)
def test_bolts_that_cannot_be_are_refused(new: dict[str, Any], match: str) -> None:
    with pytest.raises(BladegeomError, match=match):
        dataclasses.replace(BOLT, **new)


@pytest.mark.parametrize(
    ("new", "match"),
    [
        ({"diameter": 3.5}, "be more than its thread"),
        ({"length": -1.0}, "length"),
        ({"recess": -0.1}, "recess"),
        ({"pocket_play": -0.1}, "pocket_play"),
        ({"tapped": "medium"}, "medium"),
        ({"fit": "tight"}, "tight"),
        ({"head": "DIN 1"}, "DIN 1"),
        ({"screw_length": "long"}, "long"),
        ({"screw_length": 0.0}, "screw_length"),
    ],
)
def test_standoffs_that_cannot_be_are_refused(new: dict[str, Any], match: str) -> None:
    with pytest.raises(BladegeomError, match=match):
        dataclasses.replace(INCH, **new)


def test_a_head_that_would_fall_through_its_hole_is_refused() -> None:
    small = CountersunkHead(
        standard="own",
        thread="#6",
        angle_deg=82.0,
        sharp_diameter=4.0,
        head_height=1.0,
        source="test",
        confidence="low",
    )
    with pytest.raises(ParameterError) as caught:
        dataclasses.replace(INCH, head=small)
    assert caught.value.field == "head"


def test_screws_come_in_the_lengths_of_their_system() -> None:
    assert {length.name.split()[-1] for length in INCH.lengths} == {"in"}
    assert {length.name.split()[-1] for length in METRIC.lengths} == {"mm"}
    assert StandoffScrews(thread="#6-32", diameter=6.35, length=12.7, screw_length="1/2 in").screw_length == 12.7


def test_a_bolts_head_left_defaults_to_more_than_the_rule_asks() -> None:
    plain = {name: value for name, value in vars(BOLT).items() if name != "head_left"}
    assert ShoulderedBolt(**plain).head_left == 1.2

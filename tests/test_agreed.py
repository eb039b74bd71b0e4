"""What differs from what was agreed: all that a customer sees is told and keeps the cut file back, and nothing else."""

from __future__ import annotations

import dataclasses

import any_knives
import pytest
from agreements import EXAMPLES, SEEN, SIGNED, THE_SAME, UNSEEN, agreed_design, also, put
from draws import draws
from hypothesis import assume, given
from hypothesis import strategies as st

from bladegeom import (
    Compared,
    Design,
    Feature,
    Finding,
    Hole,
    NotReleasedError,
    Requirement,
    Settings,
    ShoulderedBolt,
    StandoffScrews,
    cut_files,
    join_halves,
)
from bladegeom.agreement.agreed_toml import agreed_text
from bladegeom.agreement.check_agreed import check_agreed
from bladegeom.agreement.sights import sight_of
from bladegeom.knife.knife import Knife
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.stick_tang import StickTang


def found(design: Design) -> list[Finding]:
    """What is said of the agreement alone."""
    assert design.agreement is not None
    with design.settings.in_force():
        return [*check_agreed(design.agreement)]


def compared(design: Design) -> Compared:
    assert isinstance(design.agreement, Compared)
    return design.agreement


def test_there_are_forty_of_each() -> None:
    assert len(SEEN) >= 40
    assert len(UNSEEN) >= 40


@pytest.mark.parametrize("name", SEEN)
def test_what_a_customer_sees_is_told_and_keeps_the_cut_file_back(name: str) -> None:
    code, change = SEEN[name]
    changed = change(agreed_design())
    assert code in {finding.code for finding in found(changed) if finding.severity == "error"}


def test_it_stands_among_the_findings_of_the_design_and_keeps_the_cut_file_back() -> None:
    seen, unseen = SEEN["another text"][1](agreed_design()), UNSEEN["maker's note"](agreed_design())
    assert {finding.code for finding in seen.standing} == {"agreed-mark", "order-allergy"}
    with pytest.raises(NotReleasedError, match="agreed-mark"):
        cut_files(seen)
    assert cut_files(seen.allowing("agreed-mark", "order-allergy"))
    assert "agreed-but-unseen" in {finding.code for finding in unseen.findings}
    assert not [finding for finding in unseen.errors if finding.part == "agreement"]


@pytest.mark.parametrize("name", UNSEEN)
def test_what_nobody_sees_is_one_note(name: str) -> None:
    (note,) = found(UNSEEN[name](agreed_design()))
    assert (note.code, note.severity) == ("agreed-but-unseen", "note")


@pytest.mark.parametrize("name", THE_SAME)
def test_what_changes_nothing_is_not_told(name: str) -> None:
    assert found(THE_SAME[name](agreed_design())) == []


@given(any_knives.knives())
@draws(50)
def test_a_design_is_what_was_agreed_on_it(knife: Knife) -> None:
    design = Design(knife)
    again = Design(dataclasses.replace(knife), agreed=design.agreeing(SIGNED))
    assert compared(again).differences == ()


def test_every_code_can_be_allowed_by_itself() -> None:
    changed = SEEN["shorter blade"][1](agreed_design())
    left = {finding.code for finding in changed.allowing("agreed-length").standing}
    assert "agreed-length" not in left
    assert "agreed-shape" in left
    assert any("agreed-length" in remark for remark in changed.allowing("agreed-length", *left).remarks)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("shorter blade", "requirement 1 ('four inches of blade and no more'): agreed: length of the blade 105.00 mm"),
        ("another steel", "requirement 2 ('it must not rust'): agreed: steel 1.4116; now: 1.4034"),
        (
            "softer steel",
            "requirement 2 ('it must not rust'): agreed: hardness (55 HRC, 57 HRC); now: (53 HRC, 55 HRC)",
        ),
        ("mark on the left", "agreed: side of the mark right; now: left"),
        ("another text", "text of the mark 'DECK 1'; now: 'DECK 2'"),
        ("no etch", "agreed: etch of the blade coffee; now: none"),
        ("finer sharpening", "agreed: sharpening angle a side 18 degrees; now: 15 degrees"),
        ("requirement gone", "agreed: requirement 2 'it must not rust'; now: none"),
        ("requirement added", "agreed: no requirement 4; now: 'a whistle in the sheath'"),
        (
            "requirement held more strictly",
            "agreed: requirement 1 ('four inches of blade and no more'), how it is met 2: none; now: the edge",
        ),
        ("another allergy", "agreed: allergies without chromium; now: with chromium"),
        ("one-sided grind", "agreed: no grind on one side alone; now: right"),
        ("no mark", "agreed: mark 'DECK 1'; now: none"),
        ("mark farther ahead", "agreed: mark, place (19.50, -6.00); now: (21.50, -6.00)"),
        (
            "requirement held less strictly",
            "requirement 1 ('four inches of blade and no more'), how it is met, blade, from the front of the handle to "
            "the tip: 105 mm (4.13 in) within 1 mm (0.039 in); now: 105 mm (4.13 in) within 4 mm (0.157 in); make",
        ),
        ("requirement in other words", "agreed: requirement 1, words 'four inches of blade and no more'; now: 'about"),
        ("brass lanyard tube", "lanyard"),
        ("larger deposit", "now: 200; keep to what was agreed, or let the customer agree again"),
        (
            "number of a step that a wish asks for",
            "requirement 5 ('kind to my finger'): agreed: step 'Ease the spine', length that is eased 40 mm, at least",
        ),
        (
            "number in the words of such a step",
            "what is done 'Both corners from the handle 40 mm forward.'; now: 'Both",
        ),
        ("ring of glue round the tube", "agreed: fastener, ring left open round it 0.00 mm (0.000 in); now: 0.32"),
        ("liners of another colour", "agreed: scales, liner, material G-10; now: G-10, red"),
    ],
)
def test_it_is_told_in_the_words_of_the_customer(name: str, words: str) -> None:
    messages = [finding.message for finding in found(SEEN[name][1](agreed_design()))]
    assert any(words in message for message in messages), messages


def test_lengths_are_told_first_in_the_unit_of_the_settings() -> None:
    changed = dataclasses.replace(SEEN["thicker steel"][1](agreed_design()), settings=Settings(units="inch"))
    assert any("thickness of the steel 5/32 in (3.969 mm)" in finding.message for finding in found(changed))


@pytest.mark.parametrize(
    ("at", "purpose", "covered"), [(-60.0, "lightening", True), (60.0, "lightening", False), (-60.0, "lanyard", False)]
)
def test_a_hole_shows_where_no_scale_lies_over_it(at: float, purpose: str, covered: bool) -> None:  # noqa: FBT001
    hole = Hole(x=at, y=-12.0, diameter=2.0, purpose=purpose)  # type: ignore[arg-type]
    changed = put(agreed_design(), "knife.holes", (*agreed_design().knife.holes, hole))
    assert (not compared(changed).seen) == covered


def test_a_hole_that_comes_out_from_under_the_scales_is_seen_to_move() -> None:
    old = put(agreed_design(), "knife.holes", (Hole(x=-20.0, y=-12.0, diameter=2.0, purpose="lightening"),))
    new = put(old, "knife.holes.0.x", 20.0)
    found = compared(dataclasses.replace(new, agreed=old.agreeing(SIGNED)))
    assert {"hole", "hole, place"} <= {each.what for each in found.seen}


@pytest.mark.parametrize("name", SEEN)
def test_there_and_back_differ_alike(name: str) -> None:
    there = compared(SEEN[name][1](agreed_design()))
    back = Compared(there.present, there.agreed)
    assert sorted(each.kind for each in there.seen) == sorted(each.kind for each in back.seen)
    assert [each.what for each in there.unseen] == [each.what for each in back.unseen]


@pytest.mark.parametrize("length", [93.0, 90.0])
def test_a_tang_that_hides_in_its_block_is_not_seen(length: float) -> None:
    plain = put(put(agreed_design(), "knife.fasteners", ()), "knife.scales", None)
    halves = [join_halves(DropPoint(blade_length=105.0), StickTang(length=size)) for size in (95.0, length)]
    hole = Hole(x=-60.0, y=-13.0, diameter=2.0, purpose="lightening")
    knives = [
        dataclasses.replace(plain.knife, outline=half, holes=(hole,) * count)
        for half, count in zip(halves, (0, 1), strict=True)
    ]
    old, new = (dataclasses.replace(plain, knife=knife) for knife in knives)
    found = compared(dataclasses.replace(new, agreed=old.agreeing(SIGNED)))
    assert {each.kind for each in found.seen} <= {"weight"}
    assert {"outline of the handle", "hole"} <= {each.what for each in found.unseen}


@given(st.floats(0.0, 0.12), st.sampled_from((-1.0, 1.0)))
@draws(20)
def test_a_thickness_is_told_from_its_limit_on(more: float, way: float) -> None:
    limit = sight_of("Stock", "thickness").within
    assume(abs(more - limit) > 1e-6)
    changed = put(agreed_design(), "knife.stock.thickness", agreed_design().knife.stock.thickness + way * more)
    told = {each.what for each in compared(changed).seen}
    assert ("thickness of the steel" in told) == (more > limit)


def test_an_agreement_on_another_order_counts_for_nothing() -> None:
    (finding,) = found(put(agreed_design(), "order.number", "S-14"))
    assert (finding.code, finding.severity) == ("agreement-of-another", "error")
    assert "S-13" in finding.message
    assert "S-14" in finding.message


def test_without_orders_it_goes_by_the_name_of_the_knife() -> None:
    plain = Design(agreed_design().knife)
    renamed = put(plain, "knife.name", "Another knife")
    other = dataclasses.replace(renamed, agreed=plain.agreeing(SIGNED))
    assert [finding.code for finding in found(other)] == ["agreement-of-another"]


def test_agreeing_again_settles_it() -> None:
    changed = SEEN["lower bevel"][1](agreed_design())
    again = dataclasses.replace(changed, agreed=changed.agreeing(SIGNED))
    assert found(again) == []


@pytest.mark.parametrize("name", ["galley_petty", "galley_chef", "rigging_knife", "kindling_knife", "traced_knife"])
def test_examples_are_what_was_agreed_on_them(name: str) -> None:
    design = Design.from_script(EXAMPLES / f"{name}.py")
    again = dataclasses.replace(design, agreed=design.agreeing(SIGNED))
    assert compared(again).differences == ()
    assert agreed_text(design.agreeing(SIGNED)) == agreed_text(again.agreeing(SIGNED))


@pytest.mark.parametrize(
    ("name", "asks"), [("tube farther ahead", True), ("no lanyard tube", True), ("brass screws", False)]
)
def test_a_wish_is_named_where_it_asks_for_what_differs_and_nowhere_else(name: str, asks: bool) -> None:  # noqa: FBT001
    """A screw that differs is nothing to who wants no lanyard."""
    wish = Requirement(number=9, text="no loop", concerns="lanyard", met=Feature(what="lanyard", absent=True))
    wanting = also("order.requirements", wish)(agreed_design())
    agreed = dataclasses.replace(wanting, agreed=wanting.agreeing(SIGNED))
    told = [
        finding.message
        for finding in found(SEEN[name][1](agreed))
        if finding.code in ("agreed-hardware", "agreed-material")
    ]
    assert told
    assert all(("'no loop'" in message) == asks for message in told), told


def petty() -> Design:
    plain = Design.from_script(EXAMPLES / "galley_petty.py")
    return dataclasses.replace(plain, agreed=plain.agreeing(SIGNED))


def with_pins(design: Design, which: tuple[int, ...], **change: object) -> Design:
    """Some of its pins otherwise."""
    fasteners = [
        dataclasses.replace(each, hardware=dataclasses.replace(each.hardware, **change)) if i in which else each
        for i, each in enumerate(design.knife.fasteners)
    ]
    return put(design, "knife.fasteners", tuple(fasteners))  # type: ignore[no-any-return]


@pytest.mark.parametrize(
    ("which", "words"),
    [
        ((0, 1, 2), "agreed: fasteners 1, 2 and 3, metal of the pin C26000; now: 304"),
        ((1, 2), "agreed: fasteners 2 and 3, metal of the pin C26000; now: 304"),
        ((1,), "agreed: fastener 2, metal of the pin C26000; now: 304"),
    ],
)
def test_pins_that_differ_alike_are_one_message(which: tuple[int, ...], words: str) -> None:
    (difference,) = compared(with_pins(petty(), which, rod="304")).seen
    assert difference.words == words
    (back,) = Compared(compared(with_pins(petty(), which, rod="304")).present, petty().agreeing(SIGNED)).seen
    assert back.words == words.replace("C26000; now: 304", "304; now: C26000")


def test_pins_that_differ_each_in_its_own_way_are_told_apart() -> None:
    changed = with_pins(with_pins(petty(), (0,), rod="304"), (2,), rod="316")
    assert [each.what for each in compared(changed).seen] == [
        "fastener 1, metal of the pin",
        "fastener 3, metal of the pin",
    ]


def test_pins_are_numbered_from_front_to_rear_as_the_drill_card_does() -> None:
    design = petty()
    turned = put(design, "knife.fasteners", design.knife.fasteners[::-1])
    (difference,) = compared(with_pins(turned, (0,), rod="304")).seen
    assert difference.what == "fastener 3, metal of the pin"
    assert turned.knife.hole_ids[:3] == ("F3", "F2", "F1")


@given(st.floats(4.77, 9.0))
@draws(20)
def test_a_hole_shows_as_far_as_it_is_wider_than_its_pin(hole: float) -> None:
    pin, limit = 4.7625, sight_of("Fastener", "open_ring").within
    assume(abs((hole - pin) / 2 - limit) > 1e-5)
    found = compared(with_pins(petty(), (0,), scale_hole=hole))
    assert ("hardware" in {each.kind for each in found.seen}) == ((hole - pin) / 2 > limit)


def test_the_ring_is_that_round_what_comes_out_of_the_scale() -> None:
    """Round the head of a screw, not round the standoff under it, which is wider; round the head of a bolt."""
    for name in ("rigging_knife", "kindling_knife"):
        for stack in Design.from_script(EXAMPLES / f"{name}.py").stacks:
            hardware, outside = stack.hardware, stack.layers.widest_outside
            if isinstance(hardware, StandoffScrews):
                assert stack.open_ring == pytest.approx((outside - hardware.screw_head.sharp_diameter) / 2)
                assert hardware.diameter > hardware.screw_head.sharp_diameter
            elif isinstance(hardware, ShoulderedBolt):
                assert stack.open_ring == pytest.approx((outside - hardware.head_diameter) / 2)
            assert 0 <= stack.open_ring < sight_of("Fastener", "open_ring").within


def test_where_no_scale_lies_over_it_the_hole_in_the_tang_shows() -> None:
    plain = agreed_design()
    bare = put(plain, "knife.scales", None)
    bare = put(bare, "knife.fasteners", plain.knife.fasteners[:1])
    bare = dataclasses.replace(bare, agreed=bare.agreeing(SIGNED))
    wide = put(bare, "knife.fasteners.0.hardware.tang_hole", 7.5)
    assert "fastener, ring left open round it" in {each.what for each in compared(wide).seen}
    covered = put(plain, "knife.fasteners.0.hardware.tang_hole", 7.5)
    assert not [each for each in compared(covered).seen if each.kind == "hardware"]

"""Every way in which a stack can fail is found, told in both numbers, and ended by the fix that is told."""

from __future__ import annotations

import dataclasses
import itertools
import re
from collections.abc import Mapping
from typing import Any

import pytest
from draws import draws
from handles import BOLT, DOME, INCH, METRIC, ROD, handle, liners
from hypothesis import assume, given
from hypothesis import strategies as st

from bladegeom.checks.stack import check_stack
from bladegeom.fasteners.hardware import Hardware
from bladegeom.fasteners.stack import stacks
from bladegeom.fasteners.stack_fix import NOTHING_HELPS, STEP, down, up
from bladegeom.fasteners.standoff.kind import StandoffScrews
from bladegeom.fasteners.tube import Tube
from bladegeom.knife.finding import Finding
from bladegeom.knife.handle_rules import HandleRules, Tolerances
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import Shop
from bladegeom.quantities.screw_holes import engagement_rule
from bladegeom.quantities.threads import thread
from bladegeom.quantities.units import length, show_length


def found(knife: Knife) -> dict[str, Finding]:
    """By code; of one fastener, each code comes once."""
    findings = list(check_stack(knife))
    assert len({finding.code for finding in findings}) == len(findings)
    return {finding.code: finding for finding in findings}


def mended(knife: Knife, message: str) -> Knife:
    """A knife with the fix of a message typed in as a maker would."""
    fix = message.split("; ", 1)[1]
    new: dict[str, Any] = {
        name: value.strip("'") if value.startswith("'") else float(value)
        for name, value in re.findall(r"(\w+)=('[^']*'|[\d.]+)", fix)
    }
    assert new, message
    thickness = new.pop("thickness", None)
    assert knife.scales is not None
    scales = dataclasses.replace(knife.scales, thickness=thickness) if thickness else knife.scales
    alone = re.search(r"for (F\d) alone", fix)
    names = {alone[1]} if alone else set(knife.hole_ids)
    refit = (
        dataclasses.replace(fastener, hardware=dataclasses.replace(fastener.hardware, **new))
        if name in names
        else fastener
        for fastener, name in zip(knife.fasteners, knife.hole_ids[: len(knife.fasteners)], strict=True)
    )
    return dataclasses.replace(knife, fasteners=tuple(refit), scales=scales)


def inch(**new: Any) -> Hardware:
    return dataclasses.replace(INCH, **new)


def metric(**new: Any) -> Hardware:
    return dataclasses.replace(METRIC, **new)


def bolt(**new: Any) -> Hardware:
    return dataclasses.replace(BOLT, **new)


ROOMY: Mapping[str, Any] = {"tang": 5.0, "thickness": 10.0}

CASES: tuple[tuple[str, str, Hardware, Mapping[str, Any]], ...] = (
    # code, severity, hardware, handle: numbers worked out as in test_stack.py
    ("floor", "error", inch(length=16.0), {}),  # 7.500 - 1.600 - (8.250 - 2.000 = 6.250) = -0.350
    ("floor", "warning", inch(length=13.0), {}),  # 7.500 - 1.600 - 4.750 = 1.150, 0.850
    ("floor", "warning", bolt(head_left=3.5, shoulder_length=4.5), {"thickness": 4.6}),  # 1.100, 0.900
    ("floor", "error", bolt(head_left=2.0, shoulder_length=2.5), {"thickness": 2.8}),  # 0.800
    ("pocket-cover", "error", inch(thread="#2-56", diameter=12.5, length=17.0), {"rounding": DOME}),
    ("pocket-cover", "warning", inch(thread="#2-56", diameter=12.5, length=16.2), {"rounding": DOME}),
    ("scale-too-thin", "error", inch(length=6.0), {"thickness": 2.0}),  # 1.500 to the head's top, cone 1.600
    ("scale-too-thin", "error", bolt(head_left=3.0), {"thickness": 2.5}),
    ("tip-gap", "error", inch(screw_length="7/16 in"), {}),  # 2 x (2.000 + 7.500 - 11.1125) = -3.225
    ("tip-gap", "warning", inch(screw_length="5/16 in", length=9.0), {"thickness": 7.0}),  # 1.125, -0.025
    ("no-screw-length", "error", metric(length=4.0), {"thickness": 3.2, "tang": 2.0}),  # 2 x (3.700 - 4.000) = -0.600
    ("no-screw-length", "warning", metric(length=4.0), {"thickness": 3.2}),  # 2 x (4.700 - 4.000) = 1.400, 0.250
    ("engagement", "error", inch(length=6.0), ROOMY),
    ("engagement", "error", inch(screw_length="1/4 in", length=14.0), ROOMY),
    ("engagement", "error", bolt(stud_length=4.5, shoulder_length=8.4), {}),  # 4.500 - (17.600 - 16.800) = 3.700
    ("engagement", "error", bolt(shoulder_length=7.0), {}),  # 5.000 - (17.600 - 14.000) = 1.400
    ("head-proud", "warning", inch(recess=0.2, length=12.0), {}),  # 0.200 - 0.400
    ("end-play", "warning", inch(pocket_play=0.1), {}),  # 0.050 - 0.175
    ("head-left", "error", bolt(head_left=0.5), {}),
    ("head-left", "warning", bolt(head_left=1.0), {}),  # 1.000 - 0.400 = 0.600
    ("head-pit", "error", bolt(head_height=1.25), {"rounding": DOME}),  # 1.250 - 1.200 - 0.245 = -0.195
    ("head-pit", "warning", bolt(head_height=1.4), {}),  # 0.200 - 0.400
    ("shoulders-meet", "error", bolt(shoulder_length=10.5), {}),
    ("shoulders-meet", "warning", bolt(shoulder_length=8.6), {}),  # 2 x 8.800 - 17.200 = 0.400 - 0.650
)


@pytest.mark.parametrize(("code", "severity", "hardware", "how"), CASES)
def test_each_failure_is_found_and_its_fix_ends_it(
    code: str, severity: str, hardware: Hardware, how: Mapping[str, Any]
) -> None:
    knife = handle(hardware, **how)
    findings = found(knife)
    assert code in findings
    finding = findings[code]
    assert finding.severity == severity
    assert (finding.part, finding.x, finding.y) == ("F1", -40.0, -12.5)
    assert not found(mended(knife, finding.message))
    assert len({other.message.split("; ", 1)[1] for other in findings.values()}) == 1


@pytest.mark.parametrize(("code", "severity", "hardware", "how"), CASES)
def test_a_warning_tells_both_numbers_and_an_error_the_one(
    code: str, severity: str, hardware: Hardware, how: Mapping[str, Any]
) -> None:
    finding = found(handle(hardware, **how))[code]
    assert finding.measured is not None
    assert finding.limit is not None
    assert finding.measured < finding.limit
    assert f"{finding.measured:.2f} mm" in finding.message or f"{finding.measured:.3f} mm" in finding.message
    both = re.search(r"(-?[\d.]+) mm \([^)]*\)\D+ (-?[\d.]+) mm \([^)]*\) in the worst case", finding.message)
    assert bool(both) == (severity == "warning")
    if both:
        assert float(both[2]) < finding.limit <= float(both[1]) + 0.01


def fix(finding: Finding) -> str:
    return finding.message.split("; ", 1)[1]


def test_screws_whose_tips_are_too_near_give_way_to_the_next_shorter_length() -> None:
    # 5/8 in = 15.875; tips meet at 2.5 + 13.6 - 15.875 = 0.225: 0.45 between them.
    finding = found(handle(inch(screw_length="5/8 in", length=22.0), tang=5.0, thickness=14.1))["tip-gap"]
    assert "tips of #6-32 x 5/8 in screws is 0.45 mm" in finding.message
    assert fix(finding) == "use 1/2 in screws (screw_length='1/2 in')"


def test_longer_screws_come_first_where_the_tips_keep_apart() -> None:
    finding = found(handle(inch(screw_length="1/4 in", length=16.0), **ROOMY))["engagement"]
    assert re.fullmatch(r"use (5/16|3/8|7/16) in screws \(screw_length='.*'\)", fix(finding))


def test_lengths_are_told_in_whole_steps_of_the_result() -> None:
    knife = handle(inch(length=12.6958, screw_length="1/4 in"), thickness=8.5)
    for finding in found(knife).values():
        for value in re.findall(r"(?:length|recess|pocket_play|shoulder_length|stud_length)=([\d.]+)", fix(finding)):
            assert float(value) / 0.05 == pytest.approx(round(float(value) / 0.05), abs=1e-9)


def test_where_nothing_helps_it_says_so() -> None:
    """Where shaping by hand strays by 12 mm, no scale up to 10 mm thicker leaves a head its recess and its floor."""
    knife = handle(inch(length=13.0), tolerances=Tolerances(contour=12.0))
    assert {fix(finding) for finding in found(knife).values()} == {NOTHING_HELPS}


# Several fasteners


def two(hardware: Hardware, other: Hardware, **how: Any) -> Knife:
    """F1 at x -40, F2 at x -80."""
    knife = handle(hardware, **how)
    first = knife.fasteners[0]
    return dataclasses.replace(knife, fasteners=(first, dataclasses.replace(first, x=-80.0, hardware=other)))


def of(knife: Knife, name: str) -> list[Finding]:
    return [finding for finding in check_stack(knife) if finding.part == name and finding.severity != "note"]


def test_a_fix_never_spoils_another_fastener() -> None:
    """Thicker scales alone would do for F1, and leave the stud of F2, which fits as it is, without its thread."""
    thin, fine = (
        metric(length=4.0),
        bolt(thread="#4-40", head_left=2.0, head_height=3.2, shoulder_length=4.05, stud_length=4.5),
    )
    knife = two(thin, fine, thickness=5.0, tang=3.0)
    assert of(knife, "F1")
    assert not of(knife, "F2")
    assert of(two(thin, fine, thickness=9.9, tang=3.0), "F2")
    for finding in of(knife, "F1"):
        if "=" not in fix(finding):
            assert fix(finding).startswith("no change of this fastener that was tried")
        else:
            assert not of(mended(knife, finding.message), "F2")


def test_fasteners_alike_are_mended_by_one_line() -> None:
    knife = two(bolt(shoulder_length=10.5), bolt(shoulder_length=10.5))
    first, second = of(knife, "F1"), of(knife, "F2")
    assert {fix(finding) for finding in first} == {fix(finding) for finding in second}
    assert fix(first[0]).endswith("for F1 and F2 alike")
    assert not of(mended(knife, first[0].message), "F1")
    assert not of(mended(knife, first[0].message), "F2")


def test_fasteners_that_need_different_values_get_hardware_of_their_own() -> None:
    """On a steep swell no one bolt fits both places."""
    alike = bolt(shoulder_length=7.2, stud_length=5.5)
    knife = two(alike, alike, thickness=10.0, swell=((-80.0, 6.8), (-40.0, 10.0)))
    told = {name: of(knife, name) for name in ("F1", "F2")}
    troubled = [name for name in told if told[name]]
    assert troubled
    for name in troubled:
        assert f"for {name} alone: give {name} its own Fastener(...) with that hardware" in fix(told[name][0])
        knife = mended(knife, told[name][0].message)
    assert not of(knife, "F1")
    assert not of(knife, "F2")


def test_screws_of_different_lengths_are_not_to_be_mixed_up() -> None:
    screws = inch(thread="#4-40", length=13.5)
    swell = ((-80.0, 10.0), (-40.0, 8.4))
    knife = two(screws, screws, tang=5.0, thickness=10.0, swell=swell)
    (finding,) = [candidate for candidate in check_stack(knife) if candidate.code == "screws-differ"]
    assert finding.severity == "note"
    names = {stack.layers.name: stack.screw.name for stack in stacks(knife) if stack.screw}
    assert len(set(names.values())) == 2
    assert all(f"{name} takes {screw}" in finding.message for name, screw in names.items())
    serves = re.search(r"; (.*?) screws serve in all of them \(screw_length='(.*?)'\)", finding.message)
    common = [
        size.name
        for size in INCH.lengths
        for asked in [inch(thread="#4-40", length=13.5, screw_length=size.name)]
        if not list(check_stack(two(asked, asked, tang=5.0, thickness=10.0, swell=swell)))
    ]
    assert bool(serves) == bool(common)
    if serves:
        assert serves[1] == serves[2] == common[-1]
    assert not [
        candidate for candidate in check_stack(two(screws, screws, thickness=9.0)) if candidate.code == "screws-differ"
    ]


# A bolt's thread


def test_a_tapped_hole_that_runs_out_through_the_ground_head() -> None:
    """5.040 of shoulder and 1.200 of head are left, 6.240 mm: a hole of 6.000 mm leaves 0.240, and 0.500 is asked.

    The worst case is 0.600 less: head 0.200 contour + 0.100 slab + 0.100 counterbore, shoulder 0.100, hole 0.100.
    """
    finding = found(handle(bolt(shoulder_length=5.04, stud_length=6.0), thickness=4.5))["tap-through"]
    assert (finding.severity, finding.limit) == ("error", 0.5)
    assert finding.measured == pytest.approx(0.24)
    warned = found(handle(bolt(shoulder_length=5.04, stud_length=5.5), thickness=4.5))["tap-through"]
    assert warned.severity == "warning"
    assert warned.measured == pytest.approx(0.74 - 0.6)
    assert "tap-through" not in found(handle(bolt(shoulder_length=5.04, stud_length=5.1), thickness=4.5))


def test_a_stud_that_bottoms() -> None:
    """The tapped hole is as deep as the stud: with the heads seated there is as much room in it as between shoulders.

    2 x 8.800 - 2 x 8.450 = 0.700; the shoulders keep 0.050 of it in the worst case, stud and hole stray by 0.200.
    """
    warned = found(handle(bolt(shoulder_length=8.45, stud_length=6.5)))
    assert set(warned) == {"stud-bottoms"}
    assert warned["stud-bottoms"].measured == pytest.approx(0.7 - 0.65 - 0.2)


def test_a_scale_thinner_than_a_head_says_that_alone() -> None:
    findings = list(check_stack(handle(inch(length=6.0, recess=0.0), thickness=1.5)))
    assert [finding.code for finding in findings] == ["scale-too-thin"]
    assert "the scale is thinner than the head of its #6-32 screw" in findings[0].message


@pytest.mark.parametrize("hardware", [INCH, BOLT])
def test_hardware_that_holds_scales_needs_them(hardware: Hardware) -> None:
    knife = dataclasses.replace(handle(hardware), scales=None)
    (finding,) = check_stack(knife)
    assert (finding.code, finding.severity) == ("no-scales", "error")


def test_a_pin_has_no_limits_here() -> None:
    assert not list(check_stack(handle(ROD)))
    (finding,) = check_stack(dataclasses.replace(handle(ROD), scales=None))
    assert (finding.code, finding.severity) == ("holds-nothing", "note")
    tube = Tube(metal="304", outside=6.35, inside=4.8)
    assert not list(check_stack(dataclasses.replace(handle(tube), scales=None)))


def test_a_sound_stack_has_no_findings() -> None:
    assert not found(handle(inch(length=14.0), tang=5.0, thickness=9.0))
    assert not found(handle(bolt(shoulder_length=8.35, stud_length=6.0)))


def test_half_a_sleeve_that_can_never_hold_the_thread_says_so_and_which_can() -> None:
    """A quarter of an inch tapped #8-32: 2 x 0.164 in of thread and 0.5 mm between the tips take 0.348 in."""
    short = StandoffScrews(thread="#8-32", diameter=6.35, length=6.35)
    finding = found(handle(short))["engagement"]
    assert "half of a sleeve of 6.35 mm (1/4 in) can never hold that" in finding.message
    assert f"take {show_length(2 * 0.164 * 25.4 + 0.5)} at the very least" in finding.message
    assert "none that is sold" not in finding.message
    for thick in (9.0, 11.0, 14.0):
        message = found(handle(short, thickness=thick))["engagement"].message
        told = re.search(r"of those sold, (.*?)(?: and longer)? (would|does)", message)
        assert told, message
        for name in re.split(", | or ", told[1]):
            # Each length that is named holds the thread here, and what is told of the room for it is so.
            codes = found(handle(dataclasses.replace(short, length=length(name)), thickness=thick))
            assert "engagement" not in codes, (name, thick)
            assert bool(codes.keys() & {"floor", "pocket-cover"}) == (told[2] == "would"), (name, thick)
    # Half an inch of #6-32 may still be too short with the screws that fit, but not for ever.
    assert "never" not in found(handle(inch(length=9.5)))["engagement"].message


def test_the_wanted_thread_is_a_rule_with_its_source() -> None:
    short = StandoffScrews(thread="#8-32", diameter=6.35, length=12.0, screw_length="5/16 in")
    usual = found(handle(short))["engagement"]
    # ASME B1.1: #8 is 0.164 in; one diameter in steel, by the text that the table names.
    assert usual.limit == pytest.approx(0.164 * 25.4)
    assert usual.source == engagement_rule("hard").source
    own = HandleRules(name="our bench", engagement_hard=2.0)
    told = found(dataclasses.replace(handle(short), handle_rules=own))["engagement"]
    assert told.source == "set by the shop: our bench"
    assert told.limit == pytest.approx(2 * 0.164 * 25.4)
    turns = HandleRules(engagement_hard=0.5, engagement_turns=4.0)
    assert turns.engagement(thread("#8-32"), "hard") == pytest.approx(4 * 25.4 / 32)
    assert turns.engagement_source(thread("#8-32"), "hard") == "set by the shop"


@draws(15)
@given(st.floats(4.0, 16.0), st.floats(4.0, 9.0), st.sampled_from(["#10-32", "#8-32", "1/4-20", "M5", "M4"]))
def test_no_way_out_is_a_rare_thread(long: float, thick: float, name: str) -> None:
    hardware = StandoffScrews(thread=name, diameter=9.0, length=long)
    for finding in found(handle(hardware, thickness=thick)).values():
        for other in re.findall(r"thread='([^']*)'", finding.message):
            # UNC of ASME B1.1 in even sizes, and the first choice of ISO 262; from memory.
            assert other in {
                "#2-56",
                "#4-40",
                "#6-32",
                "#8-32",
                "#10-24",
                "#10-32",
                "M2x0.4",
                "M2.5x0.45",
                "M3x0.5",
            } | {"M4x0.7"}


def test_a_sleeve_that_is_sold_comes_before_one_that_is_faced() -> None:
    finding = found(handle(inch(length=9.525), thickness=10.0))["engagement"]
    assert fix(finding) == "take a standoff of 5/8 in, 6.35 mm (1/4 in) longer (length=15.875)"


def test_a_soft_bolt_needs_more_thread() -> None:
    """Aluminium: 1.5 diameters of 4.166 mm, steel 1."""
    steel, soft = (found(handle(bolt(stud_length=6.0, shoulder_length=8.4, metal=metal))) for metal in ("304", "6061"))
    assert "engagement" not in steel
    assert soft["engagement"].limit == pytest.approx(1.5 * 4.1656)


NOTHING_STRAYS = Tolerances(
    tang=0, liner=0, slab=0, depth_stop=0, depth_division=0, sleeve=0, screw=0, head=0, contour=0
)

hardwares = st.one_of(
    st.builds(
        inch,
        length=st.floats(4.0, 20.0),
        recess=st.floats(0.0, 1.0),
        pocket_play=st.floats(0.0, 0.8),
        screw_length=st.sampled_from([None, "1/4 in", "3/8 in", "1/2 in"]),
    ),
    st.builds(metric, length=st.floats(4.0, 20.0), recess=st.floats(0.0, 1.0)),
    st.builds(
        bolt,
        head_left=st.floats(0.4, 3.0),
        head_height=st.floats(3.0, 5.0),
        shoulder_length=st.floats(3.0, 12.0),
        stud_length=st.floats(1.0, 8.0),
    ),
)
hows = st.fixed_dictionaries(
    {
        "tang": st.floats(2.0, 6.0),
        "thickness": st.floats(3.0, 11.0),
        "liners": st.lists(st.floats(0.3, 1.5), max_size=2).map(lambda thick: liners(*thick)),
        "liners_glued": st.booleans(),
        "rounding": st.sampled_from([(), (DOME,)]),
    }
).map(lambda how: how | {"liners_glued": how["liners_glued"] and bool(how["liners"])})


@given(hardwares, hows)
def test_whatever_is_found_one_fix_ends_it_all(hardware: Hardware, how: dict[str, Any]) -> None:
    knife = handle(hardware, **how)
    findings = found(knife)
    assert len({fix(finding) for finding in findings.values()}) <= 1
    for finding in itertools.islice(findings.values(), 1):
        if fix(finding) == NOTHING_HELPS:
            continue
        assert not found(mended(knife, finding.message))


@given(hardwares, hows)
def test_where_nothing_strays_there_are_no_warnings(hardware: Hardware, how: dict[str, Any]) -> None:
    assert all(
        finding.severity == "error" for finding in check_stack(handle(hardware, tolerances=NOTHING_STRAYS, **how))
    )


@given(hardwares, hows)
def test_a_warning_is_what_an_exact_shop_would_not_get(hardware: Hardware, how: dict[str, Any]) -> None:
    """Nominal good and worst case missed: it says so, and in a shop where nothing strays it is gone."""
    knife = handle(hardware, **how)
    exact = found(dataclasses.replace(knife, shop=Shop(tolerances=NOTHING_STRAYS)))
    same_screws = [stack.screw for stack in stacks(knife)] == [
        stack.screw for stack in stacks(dataclasses.replace(knife, shop=Shop(tolerances=NOTHING_STRAYS)))
    ]
    assume(same_screws)
    for code, finding in found(knife).items():
        assert (code in exact) == (finding.severity == "error"), code


def test_a_shop_that_changes_a_limit_is_quoted() -> None:
    rules = HandleRules(name="our bench", floor=2.5)
    knife = dataclasses.replace(handle(inch(length=13.0)), handle_rules=rules)
    assert found(knife)["floor"].source == "set by the shop: our bench"
    assert found(knife)["floor"].limit == 2.5


def test_a_whole_step_stays_what_it_is() -> None:
    for count in range(1, 500):
        assert up(count * STEP) == down(count * STEP) == pytest.approx(count * STEP, abs=1e-9)
        assert up((count + 0.3) * STEP) == pytest.approx((count + 1) * STEP, abs=1e-9)

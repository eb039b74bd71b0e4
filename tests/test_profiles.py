from __future__ import annotations

import dataclasses
import importlib
import itertools
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom import profiles
from bladegeom.curves.curve import Curve, FloatArray, curvature
from bladegeom.curves.extent import extent
from bladegeom.quantities.errors import BladegeomError, CurveError, OutlineError, ParameterError, UnknownNameError
from bladegeom.quantities.tolerances import CHORD, SMOOTH_DEG
from bladegeom.shape.halves import Joint
from bladegeom.shape.outline import CURVE_NAMES, Outline, join_halves
from bladegeom.shape.parameter import outside_range, parameters

EXACT = 1e-9  # rounding of numbers of a few hundred mm
UNITS = {"mm", "of the length", "of the edge", "power"}
HALF_INCH_WHEEL = 0.5 * 25.4 / 2  # radius of the smallest contact wheel in common use, no source

NAMES = profiles.names()
BLADES = [profiles.get(name) for name in NAMES if profiles.half(profiles.get(name)) == "blade"]
HANDLES = [profiles.get(name) for name in NAMES if profiles.half(profiles.get(name)) == "handle"]
PAIRS = list(itertools.product(BLADES, HANDLES))
DropPoint, Petty, Chef = (profiles.get(name) for name in ("drop_point", "petty", "chef"))
Straight, Swelled, BirdsHead = (profiles.get(name) for name in ("straight", "swelled", "birds_head"))


def title(value: object) -> str:
    return value.__name__ if isinstance(value, type) else str(value)


every_profile = pytest.mark.parametrize("profile", [*BLADES, *HANDLES], ids=title)
every_blade = pytest.mark.parametrize("blade", BLADES, ids=title)
every_handle = pytest.mark.parametrize("handle", HANDLES, ids=title)
every_pair = pytest.mark.parametrize(("blade", "handle"), PAIRS, ids=title)


def within_ranges(profile: type) -> st.SearchStrategy[dict[str, float]]:
    return st.fixed_dictionaries({p.name: st.floats(p.low, p.high) for p in parameters(profile)})


def beyond_reason(profile: type) -> st.SearchStrategy[dict[str, float]]:
    """Each value anywhere from well below nought to many times the range."""
    one = {
        p.name: st.floats(-2 * abs(p.high) - 1, 5 * abs(p.high)) | st.sampled_from([0.0, 1e-7])
        for p in parameters(profile)
    }
    return st.fixed_dictionaries({}, optional=one)


def drawn_at_random(profile: type, random: np.random.Generator) -> Any:
    return profile(**{p.name: float(random.uniform(p.low, p.high)) for p in parameters(profile)})


def partner(profile: type) -> list[type]:
    return HANDLES if profiles.half(profile) == "blade" else BLADES


def joined(one: Any, other: Any) -> Outline:
    """A blade and a handle given in either order."""
    return join_halves(one, other) if hasattr(one, "blade") else join_halves(other, one)


def turn_deg(before: Curve, after: Curve) -> float:
    (dx, dy), (ex, ey) = before.end_direction, after.start_direction
    return abs(math.degrees(math.atan2(dx * ey - dy * ex, dx * ex + dy * ey)))


def curvatures(curve: Curve, n: int = 60) -> FloatArray:
    """Curvature along a curve, from both sides of every joint, 1/mm."""
    return np.concatenate([curvature(curve, np.linspace(i + EXACT, i + 1 - EXACT, n)) for i in range(len(curve))])


def inflections(curve: Curve) -> int:
    """Changes of side; what bends less than a circle of 5 m counts as straight, the eye sees no side in it."""
    k = curvatures(curve)
    side = np.sign(k[np.abs(k) > 1 / 5000])
    return int((np.diff(side) != 0).sum())


# What there is, and how it is found


def test_six_profiles_are_found_by_name() -> None:
    assert NAMES == ("birds_head", "chef", "drop_point", "petty", "straight", "swelled")
    assert [c.__name__ for c in BLADES] == ["Chef", "DropPoint", "Petty"]
    assert [c.__name__ for c in HANDLES] == ["BirdsHead", "Straight", "Swelled"]


@pytest.mark.parametrize("name", ["drop_point", "drop point", "Drop-Point", " DROP POINT "])
def test_a_name_may_be_written_as_people_do(name: str) -> None:
    assert profiles.get(name) is DropPoint


def test_the_bird_s_head_may_keep_its_apostrophe() -> None:
    assert profiles.get("bird's head") is profiles.get("Bird\N{RIGHT SINGLE QUOTATION MARK}s Head") is BirdsHead


@pytest.mark.parametrize("name", NAMES)
def test_importing_and_getting_give_the_same_class(name: str) -> None:
    profile = profiles.get(name)
    module = importlib.import_module(f"bladegeom.profiles.{name}")
    assert getattr(module, profile.__name__) is profile
    assert profile.__module__ == f"bladegeom.profiles.{name}"


@pytest.mark.parametrize(
    ("wrong", "meant"),
    [
        ("drop_pint", "drop_point"),
        ("cheff", "chef"),
        ("pety", "petty"),
        ("swoled", "swelled"),
        ("bird head", "birds_head"),
    ],
)
def test_an_unknown_name_suggests_the_nearest(wrong: str, meant: str) -> None:
    with pytest.raises(UnknownNameError, match=f"unknown profile {wrong!r}; did you mean '{meant}'") as caught:
        profiles.get(wrong)
    assert caught.value.suggestions[0] == meant


def test_a_name_like_no_other_lists_all() -> None:
    with pytest.raises(UnknownNameError, match="known: birds_head, chef, drop_point, petty, straight, swelled"):
        profiles.get("zzz")


@every_profile
def test_every_parameter_is_documented(profile: type) -> None:
    told = parameters(profile)
    assert [p.name for p in told] == [f.name for f in dataclasses.fields(profile)]
    for p in told:
        assert p.unit in UNITS
        assert p.low <= p.default <= p.high
        assert p.low < p.high
        assert len(p.meaning.split()) >= 3
        assert p.meaning[0].islower()
    assert profile.__doc__
    assert outside_range(profile()) == ()


# Defaults: every blade with every handle


@every_pair
def test_every_blade_joins_every_handle(blade: type, handle: type) -> None:
    outline = join_halves(blade(), handle())
    assert outline.profiles == (blade(), handle())
    assert outline.polygon.exterior.is_ccw
    assert turn_deg(outline.spine, outline.handle_top) < SMOOTH_DEG
    assert turn_deg(outline.handle_underside, outline.choil) < SMOOTH_DEG
    assert turn_deg(outline.handle_top, outline.butt) < SMOOTH_DEG
    assert turn_deg(outline.butt, outline.handle_underside) < SMOOTH_DEG


@every_pair
def test_the_grip_suits_a_hand(blade: type, handle: type) -> None:
    # Length 110 to 120 mm, greatest height 22 to 30 mm: common practice, no source.
    assert 110 <= handle().length <= 120
    upper, lower = join_halves(blade(), handle()).tang_height(np.linspace(-105.0, -20.0, 200))
    assert 22 <= (upper - lower).max() <= 30
    assert (upper - lower).min() >= 17


@every_pair
def test_named_curves_flow_without_unwanted_bends(blade: type, handle: type) -> None:
    outline = join_halves(blade(), handle())
    found = {name: inflections(curve) for name, curve in zip(CURVE_NAMES, outline.curves, strict=True)}
    allowed = {
        Straight: {"handle_top": 0, "handle_underside": 0},
        Swelled: {"handle_top": 1, "handle_underside": 2},  # up to the crown; round the palm
        BirdsHead: {"handle_top": 1, "handle_underside": 2},  # up to the crown; into the waist and to the front
    }[handle]
    assert found["edge"] == found["spine"] == found["butt"] == found["choil"] == 0
    for name, most in allowed.items():
        assert found[name] <= most, name


@every_blade
def test_a_bird_s_head_rolls_over_in_one_round(blade: type) -> None:
    outline = join_halves(blade(), BirdsHead())
    k = np.concatenate([curvatures(outline.handle_top), curvatures(outline.butt)])
    assert 1 / k.max() > 8.0
    rear = int(k.argmax())
    crest = int(np.flatnonzero(np.abs(k[:rear]) < 1e-3).max())
    # From the crest on the back bends ever more, up to the roundest place of the head; a step of 1/5000 goes unseen.
    assert np.diff(k[crest:rear]).min() > -1 / 5000
    # And from there to the chin it never flattens to less than a third of that.
    assert k[rear:].min() > k.max() / 3


def test_the_finger_notch_takes_a_half_inch_wheel() -> None:
    choil = DropPoint().blade().choil
    assert -1 / curvatures(choil).min() >= HALF_INCH_WHEEL


# Promised sizes


@every_blade
@given(data=st.data())
def test_a_blade_has_the_promised_sizes(blade: type, data: st.DataObject) -> None:
    values = data.draw(within_ranges(blade))
    try:
        profile = blade(**values)
        outline = join_halves(profile, Straight())
    except BladegeomError:
        return
    assert outline.tip == (profile.blade_length, -profile.tip_drop)
    assert outline.heel == pytest.approx((profile.heel, -profile.height), abs=EXACT)
    assert outline.front_bottom == (0.0, -profile.front_height)
    assert outline.bounds[2] == profile.blade_length
    (upper,), (lower,) = outline.tang_height(np.array([0.0]))
    assert upper - lower == pytest.approx(profile.front_height, abs=2 * CHORD)
    assert outline.edge.start_direction == pytest.approx((1.0, 0.0), abs=EXACT) or profile.edge_straight < 1e-6
    lowest = extent(np.concatenate([outline.edge.pieces, outline.choil.pieces]))[1]
    assert lowest == pytest.approx(-profile.height, abs=EXACT)
    assert extent(outline.spine.pieces)[3] == 0.0
    bend = curvatures(outline.choil)
    assert -1 / bend.min() == pytest.approx(profile.choil_radius, rel=1e-3)


@every_handle
@every_blade
@given(data=st.data())
def test_a_handle_has_the_promised_length_and_joint(handle: type, blade: type, data: st.DataObject) -> None:
    profile = handle(**data.draw(within_ranges(handle)))
    try:
        outline = join_halves(blade(), profile)
    except BladegeomError:
        return
    assert outline.bounds[0] == pytest.approx(-profile.length, abs=EXACT)
    assert turn_deg(outline.spine, outline.handle_top) < SMOOTH_DEG
    assert turn_deg(outline.handle_underside, outline.choil) < SMOOTH_DEG
    assert outline.front_bottom == (0.0, -blade().front_height)


@pytest.mark.parametrize("handle", [Straight, Swelled], ids=title)
@every_blade
@given(data=st.data())
def test_a_butt_has_the_promised_place_and_height(handle: type, blade: type, data: st.DataObject) -> None:
    profile, front = handle(**data.draw(within_ranges(handle))), blade().front_height
    try:
        outline = join_halves(blade(), profile)
    except BladegeomError:
        return
    x = profile.butt_round - profile.length
    assert outline.butt.start == pytest.approx((x, -profile.drop), abs=EXACT)
    assert outline.butt.end == pytest.approx((x, -profile.drop - front - profile.flare), abs=EXACT)


@every_blade
@given(data=st.data())
def test_a_swell_stands_out_with_any_blade(blade: type, data: st.DataObject) -> None:
    profile, front = Swelled(**data.draw(within_ranges(Swelled))), blade().front_height
    try:
        outline = join_halves(blade(), profile)
    except BladegeomError:
        return
    x = profile.butt_round - profile.length
    for at, sign, height, top, butt in (
        (0.54, -1, profile.swell, -front, -profile.drop - front - profile.flare),
        (0.45, 1, profile.crown, 0.0, -profile.drop),
    ):
        place = -at * profile.length
        line = top + place / x * (butt - top)
        upper, lower = outline.tang_height(np.array([place]))
        border = lower[0] if sign < 0 else upper[0]
        assert sign * (border - line) == pytest.approx(height, abs=2 * CHORD)


@every_blade
@given(data=st.data())
def test_a_bird_s_head_has_the_promised_lowest_point(blade: type, data: st.DataObject) -> None:
    profile, front = BirdsHead(**data.draw(within_ranges(BirdsHead))), blade().front_height
    try:
        outline = join_halves(blade(), profile)
    except BladegeomError:
        return
    handle = np.concatenate([c.pieces for c in (outline.handle_top, outline.butt, outline.handle_underside)])
    _, low, _, high = extent(handle)
    assert low == pytest.approx(-front - profile.head_drop, abs=EXACT)
    assert outline.butt.end == pytest.approx((profile.head_width - profile.length, low), abs=EXACT)
    assert high == pytest.approx(profile.crown, abs=EXACT)


# All the sensible ranges, and beyond


@every_pair
@given(data=st.data())
def test_sensible_values_give_a_simple_outline_or_a_clear_refusal(
    blade: type, handle: type, data: st.DataObject
) -> None:
    one, other = data.draw(within_ranges(blade)), data.draw(within_ranges(handle))
    try:
        outline = join_halves(blade(**one), handle(**other))
    except BladegeomError:
        return
    assert outline.polygon.is_valid
    assert outline.area > 0


@every_profile
def test_nine_in_ten_of_the_sensible_values_can_be_drawn(profile: type) -> None:
    random = np.random.default_rng(20)
    drawn = valid = 0
    for other in partner(profile):
        for _ in range(100):
            drawn += 1
            try:
                joined(drawn_at_random(profile, random), other())
            except BladegeomError:
                continue
            valid += 1
    assert valid >= 0.9 * drawn


@every_pair
def test_nine_in_ten_of_all_pairings_can_be_drawn(blade: type, handle: type) -> None:
    random = np.random.default_rng(21)
    valid = 0
    for _ in range(60):
        try:
            joined(drawn_at_random(blade, random), drawn_at_random(handle, random))
        except BladegeomError:
            continue
        valid += 1
    assert valid >= 54


@every_blade
def test_edge_and_spine_bend_to_one_side_all_over_the_ranges(blade: type) -> None:
    random = np.random.default_rng(22)
    for _ in range(60):
        try:
            half = drawn_at_random(blade, random).blade()
        except BladegeomError:
            continue
        assert curvatures(half.edge).min() > -EXACT
        assert curvatures(half.spine).min() > -EXACT
        assert curvatures(half.choil).max() < EXACT


@every_profile
@given(data=st.data())
def test_no_value_whatever_brings_a_foreign_error(profile: type, data: st.DataObject) -> None:
    values = data.draw(beyond_reason(profile))
    other = data.draw(st.sampled_from(partner(profile)))
    try:
        outline = joined(profile(**values), other())
    except BladegeomError:
        return
    assert outline.polygon.is_valid


@every_profile
def test_a_value_just_outside_its_range_is_still_drawn_and_told(profile: type) -> None:
    for p in parameters(profile):
        little = 0.02 * (p.high - p.low)
        for value in (p.low - little, p.high + little):
            if p.low == 0 and value < 0:
                continue
            changed = profile(**{p.name: value})
            joined(changed, partner(profile)[0]())
            assert [(q.name, v) for q, v in outside_range(changed)] == [(p.name, value)]


@pytest.mark.parametrize(
    ("profile", "values", "text"),
    [
        (DropPoint, {"height": 20.0}, "height = 20 mm: it must be more than front_height (22.5 mm)"),
        (DropPoint, {"heel": 60.0}, "heel = 60 mm: it must be > 0 mm and less than half the blade (55 mm)"),
        (DropPoint, {"choil_radius": 30.0}, "choil_radius = 30 mm: it must be > 0 mm and at most"),
        (DropPoint, {"choil_radius": 0.0}, "choil_radius = 0 mm: it must be > 0 mm and at most"),
        (DropPoint, {"blade_length": 0.0}, "blade_length = 0 mm: it must be > 0 mm"),
        (DropPoint, {"blade_length": -5.0}, "blade_length = -5 mm: it must not be negative"),
        (Petty, {"tip_drop": 29.0}, "tip_drop = 29 mm: it must be > 0 mm and less than height (29 mm)"),
        (Petty, {"front_height": 0.0}, "front_height = 0 mm: it must be > 0 mm"),
        (Petty, {"height": 18.2}, "height = 18.2 mm: it must be more than 18.49 mm"),
        (Chef, {"spine_straight": 1.0}, "spine_straight = 1 of the way: it must be at least 0 and less than 1"),
        (Chef, {"edge_straight": 1.5}, "edge_straight = 1.5 of the way: it must be at least 0 and less than 1"),
        (Chef, {"belly": 1.2}, "belly = 1.2: it must be at least 1.5"),
        (Straight, {"butt_round": 0.0}, "butt_round = 0 mm: it must be > 0 mm and less than half the length (57.5 mm)"),
        (Straight, {"flare": -60.0}, "which must be more than 0: give it more flare or less butt_round"),
        (Swelled, {"relief": 30.0}, "relief = 30 mm: it must be less than the steel is high at the handle front"),
        (Swelled, {"butt_round": 80.0}, "butt_round = 80 mm: it must be > 0 mm and end behind the palm swell"),
        (Swelled, {"swell": 3.0, "crown": 0.0, "relief": 17.0, "drop": 60.0}, "the outline crosses itself near x"),
        (BirdsHead, {"head_drop": 0.0}, "head_drop = 0 mm: it must be > 0 mm"),
        (BirdsHead, {"head_width": 90.0}, "head_width = 90 mm: it must be > 0 mm and end behind the waist"),
        (BirdsHead, {"waist": 40.0}, "waist = 40 mm: it must be less than the steel is high"),
        (BirdsHead, {"length": 0.0}, "length = 0 mm: it must be > 0 mm"),
    ],
)
def test_the_impossible_is_refused_in_words(profile: type, values: dict[str, float], text: str) -> None:
    with pytest.raises((ParameterError, OutlineError, CurveError)) as caught:
        joined(profile(**values), partner(profile)[-1]())
    assert text in str(caught.value)


def test_the_joint_has_a_height() -> None:
    with pytest.raises(ParameterError, match="height of the steel at the handle front = 0"):
        Joint(height=0.0)


@every_handle
def test_a_handle_takes_up_the_slopes_of_any_joint(handle: type) -> None:
    joint = Joint(height=23.0, top_slope_deg=3.0, bottom_slope_deg=-6.0)
    curves = handle().handle(joint)
    (tx, ty), (ux, uy) = curves.top.start_direction, curves.underside.end_direction
    assert math.degrees(math.atan2(-ty, -tx)) == pytest.approx(3.0, abs=SMOOTH_DEG)
    assert math.degrees(math.atan2(uy, ux)) == pytest.approx(-6.0, abs=SMOOTH_DEG)
    assert curves.underside.end == (0.0, -23.0)

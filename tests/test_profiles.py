from __future__ import annotations

import dataclasses
import importlib
import inspect
import itertools
import math
import sys
from collections import Counter
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from draws import draws
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_refused
from specimens import ground

from bladegeom import profiles
from bladegeom.cli import main
from bladegeom.curves.bounding_box import bounding_box
from bladegeom.curves.curve import Curve, FloatArray, curvature
from bladegeom.curves.flatten import flatten
from bladegeom.knife.scales import Scales
from bladegeom.outline.halves import Joint, has_hidden_tang
from bladegeom.outline.outline import Outline, join_halves
from bladegeom.outline.parameter import outside_range, parameters
from bladegeom.quantities.errors import BladegeomError, CurveError, OutlineError, ParameterError, UnknownNameError
from bladegeom.quantities.tolerances import CHORD, SMOOTH_DEG

EXACT = 1e-9  # rounding of numbers of a few hundred mm
HALF_INCH_WHEEL = 0.5 * 25.4 / 2  # radius of the smallest contact wheel in common use, no source

PROFILES = Path(__file__).parents[1] / "profiles"

NAMES = profiles.names()
BLADES = [profiles.get(name) for name in NAMES if profiles.half(profiles.get(name)) == "blade"]
HANDLES = [profiles.get(name) for name in NAMES if profiles.half(profiles.get(name)) == "handle"]
DropPoint, Petty, Chef, ClipPoint, Wharncliffe = (
    profiles.get(name) for name in ("drop_point", "petty", "chef", "clip_point", "wharncliffe")
)
Straight, Swelled, BirdsHead, StickTang, FingerChoil, HookButt, Taper, Waisted = (
    profiles.get(name)
    for name in (
        "straight",
        "swelled",
        "birds_head",
        "stick_tang",
        "finger_choil",
        "hook_butt",
        "taper",
        "waisted",
    )
)
FULL = [handle for handle in HANDLES if not getattr(handle, "hidden", False)]

BOX = draws(8, long=2000)
"""For what is drawn over all ranges of every profile."""


def title(value: object) -> str:
    return value.__name__ if isinstance(value, type) else str(value)


every_profile = pytest.mark.parametrize("profile", [*BLADES, *HANDLES], ids=title)
every_blade = pytest.mark.parametrize("blade", BLADES, ids=title)
every_handle = pytest.mark.parametrize("handle", HANDLES, ids=title)


def within_ranges(profile: type) -> st.SearchStrategy[dict[str, float]]:
    return st.fixed_dictionaries({p.name: st.floats(p.low, p.high) for p in parameters(profile)})


def beyond_reason(profile: type) -> st.SearchStrategy[dict[str, float]]:
    """Each value anywhere from well below nought to many times the range."""
    ranges = {
        p.name: st.floats(-2 * abs(p.high) - 1, 5 * abs(p.high)) | st.sampled_from([0.0, 1e-7])
        for p in parameters(profile)
    }
    return st.fixed_dictionaries({}, optional=ranges)


def drawn_at_random(profile: type, random: np.random.Generator) -> Any:
    return profile(**{p.name: float(random.uniform(p.low, p.high)) for p in parameters(profile)})


def partner(profile: type) -> list[type]:
    return HANDLES if profiles.half(profile) == "blade" else BLADES


def joined(half: Any, other: Any) -> Outline:
    """A blade and a handle given in either order."""
    return join_halves(half, other) if hasattr(half, "blade") else join_halves(other, half)


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


def test_every_file_is_a_profile_of_its_name() -> None:
    assert list(NAMES) == sorted(path.stem for path in PROFILES.glob("[!_]*.py"))
    for name in NAMES:
        assert profiles.get(name).__name__.lower() == name.replace("_", "")


@pytest.mark.parametrize("name", ["drop_point", "drop point", "Drop-Point", " DROP POINT "])
def test_a_name_may_be_written_as_people_do(name: str) -> None:
    assert profiles.get(name) is DropPoint


def test_the_bird_s_head_may_keep_its_apostrophe() -> None:
    assert profiles.get("bird's head") is profiles.get("Bird\N{RIGHT SINGLE QUOTATION MARK}s Head") is BirdsHead


def test_importing_and_getting_give_the_same_class() -> None:
    for name in NAMES:
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
    with pytest.raises(UnknownNameError, match=wrong) as caught:
        profiles.get(wrong)
    assert (caught.value.kind, caught.value.name) == ("profile", wrong)
    assert caught.value.suggestions[0] == meant


def test_a_name_like_no_other_lists_all() -> None:
    with pytest.raises(UnknownNameError, match=", ".join(NAMES[:3])):
        profiles.get("zzz")


def test_what_profiles_share_stands_once() -> None:
    """No words about a parameter stand in two files of profiles: what means the same has the same words and unit."""
    said = Counter(
        words
        for profile in [*BLADES, *HANDLES]
        for words in {p.meaning for p in parameters(profile)}
        if f'"{words}"' in inspect.getsource(sys.modules[profile.__module__])
    )
    assert sum(said.values()) > 20
    assert max(said.values()) == 1
    shared = Counter(p.meaning for blade in BLADES for p in parameters(blade))
    assert shared["handle front to tip, along x"] == len(BLADES)


@every_profile
def test_every_parameter_is_documented(profile: type) -> None:
    told = parameters(profile)
    assert [p.name for p in told] == [f.name for f in dataclasses.fields(profile)]
    for p in told:
        assert p.unit in {"mm", "deg", "power"} or p.unit.startswith("of the ")
        assert p.low <= p.default <= p.high
        assert p.low < p.high
        assert len(p.meaning.split()) >= 3
        assert p.meaning[0].islower()
    assert profile.__doc__
    assert outside_range(profile()) == ()


# Defaults: every blade with every handle


@every_blade
def test_every_blade_joins_every_handle(blade: type) -> None:
    for handle in HANDLES:
        outline = join_halves(blade(), handle())
        assert outline.profiles == (blade(), handle())
        assert_sound(outline)


@every_blade
def test_the_grip_suits_a_hand(blade: type) -> None:
    # Length 110 to 120 mm; height of the steel 21 to 33 mm, slim kitchen knives 18 to 27: common practice, no source.
    least, most = (18, 27) if blade().front_height <= 18 else (21, 33)
    for handle in FULL:
        assert 110 <= handle().length <= 120
        upper, lower = join_halves(blade(), handle()).tang_height(np.linspace(-105.0, -20.0, 200))
        assert least <= (upper - lower).max() <= most, handle
        assert (upper - lower).min() >= 13, handle


CUT = [profiles.get(name) for name in ("cut_nose", "broken_back")]


@pytest.mark.parametrize("profile", CUT, ids=title)
@BOX
@given(st.data())
def test_a_cut_spine_is_level_and_then_as_steep_as_it_is_asked_to_be(profile: type, data: st.DataObject) -> None:
    blade: Any = profile(**data.draw(within_ranges(profile)))
    spine = blade.blade().spine  # from the tip to the front
    assert spine.start == pytest.approx((blade.blade_length, -blade.tip_drop), abs=EXACT)
    (dx, dy), (ex, ey) = spine.start_direction, spine.end_direction
    assert math.degrees(math.atan2(dy, -dx)) == pytest.approx(blade.cut, abs=1e-6)
    assert (ex, ey) == pytest.approx((-1.0, 0.0), abs=1e-6)
    # Where both lines would meet the corner is taken off by as much on either side.
    corner = blade.blade_length - blade.tip_drop / math.tan(math.radians(blade.cut))
    xy = flatten(spine, 0.001)
    level = xy[np.abs(xy[:, 1]) < 1e-9]
    assert level[:, 0].max() == pytest.approx(corner - blade.corner_round, abs=0.01)
    assert inflections(spine) == 0


@pytest.mark.parametrize(
    ("name", "lengths", "heights"),
    [("slicer", (230.0, 300.0), (30.0, 38.0)), ("vegetable", (160.0, 180.0), (48.0, 55.0))],
)
def test_kitchen_blades_come_in_the_sizes_that_their_kind_has(
    name: str, lengths: tuple[float, float], heights: tuple[float, float]
) -> None:
    """Common practice, no source."""
    ranges = {p.name: (p.low, p.high) for p in parameters(profiles.get(name))}
    assert ranges["blade_length"] == lengths
    assert ranges["height"] == heights


OUTDOOR = [b for b in BLADES if any(p.meaning.endswith("the ricasso") for p in parameters(b))]


@pytest.mark.parametrize("blade", OUTDOOR, ids=title)
def test_an_outdoor_blade_is_little_higher_than_its_handle(blade: type) -> None:
    # 8 mm at most, or the finger finds a step: common practice, no source.
    assert blade().height - blade().front_height <= 8


def test_a_hook_has_no_sharp_corner() -> None:
    # 4 mm, as of a broom handle's edge: common practice, no source.
    for blade in BLADES:
        assert 1 / curvatures(join_halves(blade(), HookButt()).butt).max() >= 4


def test_a_swelled_underside_goes_up_and_down_by_no_more_than_a_hand_fills() -> None:
    # 7 mm between the place for the first finger and the palm: common practice, no source.
    most = {p.name: p.high for p in parameters(Swelled)}
    assert most["swell"] + most["relief"] <= 7


NOTCHED = [profiles.get(name) for name in ("ricasso", "guard_lip")]


@pytest.mark.parametrize("profile", NOTCHED, ids=title)
@BOX
@given(st.data())
def test_a_notch_ends_upright_at_the_heel_and_the_edge_stands_clear_of_what_is_behind(
    profile: type, data: st.DataObject
) -> None:
    """The stone meets the whole edge: ahead of the notch nothing is lower than the edge at the heel."""
    try:
        blade: Any = profile(**data.draw(within_ranges(profile)))
    except ParameterError:
        return
    choil, radius = blade.blade().choil, blade.choil_radius
    assert choil.end_direction == pytest.approx((0.0, -1.0), abs=1e-9)
    xy = flatten(choil, 0.001)
    over = xy[:, 1] + blade.height
    notch = xy[(over > EXACT) & (xy[:, 0] > blade.heel - 3 * radius)]
    assert 2 * radius <= blade.heel - notch[:, 0].min() <= 3 * radius
    assert radius <= notch[:, 1].max() + blade.height <= radius + 1
    assert over.min() == pytest.approx(-getattr(blade, "lip", 0.0), abs=EXACT)


@pytest.mark.parametrize("handle", HANDLES, ids=profiles.name_of)
@pytest.mark.parametrize("blade", ["fillet", "ricasso", "guard_lip"])
def test_a_starting_knife_with_any_handle_has_nothing_to_file_but_notch_and_shoulders(
    blade: str, handle: type, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = str(tmp_path / "knife.py")
    assert main(["new", script, "--blade", blade, "--handle", profiles.name_of(handle)]) == 0
    capsys.readouterr()
    assert main(["check", script]) == 0
    told = [line for line in capsys.readouterr().out.splitlines() if line.startswith(("warning", "error"))]
    notches = int(blade != "fillet")
    shoulders = 2 * int(getattr(handle, "hidden", False))
    assert len(told) == notches + shoulders
    assert all(line.startswith("warning [inside-radius]") for line in told)
    assert sum("on the choil" in line for line in told) == notches


def assert_sound(outline: Outline) -> None:
    """One simple loop, its landmarks in order, smooth where it shall be, with no bend or corner too many."""
    blade, handle = outline.profiles
    assert outline.polygon.is_valid
    assert outline.polygon.exterior.is_ccw
    assert outline.bounds[0] < 0 < outline.heel[0] < outline.tip[0]
    assert outline.bounds[2] == pytest.approx(outline.tip[0], abs=EXACT)
    assert outline.heel[1] <= outline.front_bottom[1] < 0
    assert outline.heel[1] <= outline.tip[1] + EXACT
    rear = outline.butt.pieces[:, :, 0].min()
    assert outline.bounds[0] == pytest.approx(bounding_box(outline.butt.pieces)[0], abs=EXACT)
    assert rear < outline.handle_top.end[0] < 0
    assert outline.handle_underside.start[1] < outline.handle_top.end[1]
    smooth = [("handle_top", "butt"), ("butt", "handle_underside")]
    if not has_hidden_tang(outline.profiles):
        smooth += [("spine", "handle_top"), ("handle_underside", "choil")]
        # The eye sees a step of curvature where a back runs on; 30 mm is the radius of a small bottle.
        step = curvature(outline.handle_top, 0.0) - curvature(outline.spine, float(len(outline.spine)))
        assert abs(step[0]) < 1 / 30
    for before, after in smooth:
        assert turn_deg(getattr(outline, before), getattr(outline, after)) < SMOOTH_DEG, (before, after)
    for profile in (blade, handle):
        for name in ("edge", "spine", "choil") if profile is blade else ("handle_top", "butt", "handle_underside"):
            assert_fair(getattr(outline, name), name, type(profile))


def assert_fair(curve: Curve, name: str, profile: type) -> None:
    pieces = [Curve(piece[None]) for piece in curve.pieces]
    turns = [turn_deg(a, b) for a, b in itertools.pairwise(pieces)]
    corners = sum(turn > SMOOTH_DEG for turn in turns)
    assert corners <= getattr(profile, "corners", {}).get(name, 0), name
    # The profile itself says how often each of its curves may bend to the other side, anywhere in its ranges.
    assert inflections(curve) <= getattr(profile, "inflections", {}).get(name, 0), name
    k = curvatures(curve, 30)
    # Inside radii: 1.5 mm at a hidden shoulder, where a file goes; 3 mm in a choil; a half-inch wheel elsewhere.
    # 2 mm in a notch before the edge, where a round file goes.
    in_choil = 2.0 if profile in NOTCHED else 3.0
    inside = {"choil": in_choil}.get(name, 1.5 if getattr(profile, "hidden", False) else HALF_INCH_WHEEL)
    assert k.min() >= -1 / inside - 1e-4, name
    # Outside: a butt may be nearly square, a clip's corner nearly crisp; all else is no tighter than a pencil.
    outside = 0.5 if name == "butt" else 0.0 if profile is ClipPoint and name == "spine" else 3.5
    assert not outside or k.max() <= 1 / outside, name


@every_blade
def test_a_bird_s_head_rolls_over_in_one_round(blade: type) -> None:
    outline = join_halves(blade(), BirdsHead())
    k = np.concatenate([curvatures(outline.handle_top), curvatures(outline.butt)])
    # On the slim handles of small kitchen knives the head is smaller.
    roundest, flattest = (8.0, 1 / 3) if blade().front_height > 18 else (7.0, 0.3)
    assert 1 / k.max() > roundest
    rear = int(k.argmax())
    crest = int(np.flatnonzero(np.abs(k[:rear]) < 1e-3).max())
    # From the crest on the back bends ever more, up to the roundest place of the head; a step of 1/5000 goes unseen.
    assert np.diff(k[crest:rear]).min() > -1 / 5000
    # And from there to the chin it never flattens to less than about a third of that.
    assert k[rear:].min() > k.max() * flattest


def test_the_finger_notch_takes_a_half_inch_wheel() -> None:
    choil = DropPoint().blade().choil
    assert -1 / curvatures(choil).min() >= HALF_INCH_WHEEL


# Promised sizes


def promised_tip(profile: Any) -> float:
    """Height of the tip, from whichever parameter sets it."""
    if hasattr(profile, "tip_drop"):
        return -float(profile.tip_drop)
    if hasattr(profile, "tip_rise"):
        return float(profile.tip_rise)
    return float(profile.edge_rise - profile.height)


@every_blade
@BOX
@given(data=st.data())
def test_a_blade_has_the_promised_sizes(blade: type, data: st.DataObject) -> None:
    try:
        profile = blade(**data.draw(within_ranges(blade)))
    except ParameterError:
        return
    outline = join_halves(profile, Straight())
    assert outline.tip == pytest.approx((profile.blade_length, promised_tip(profile)), abs=EXACT)
    assert outline.heel == pytest.approx((profile.heel, -profile.height), abs=EXACT)
    assert outline.front_bottom == (0.0, -profile.front_height)
    (upper,), (lower,) = outline.tang_height(np.array([0.0]))
    assert upper - lower == pytest.approx(profile.front_height, abs=2 * CHORD)
    deeper = next((getattr(profile, name) for name in ("depth", "belly_depth", "lip") if hasattr(profile, name)), 0.0)
    lowest = bounding_box(np.concatenate([outline.edge.pieces, outline.choil.pieces]))[1]
    assert lowest == pytest.approx(-profile.height - deeper, abs=EXACT)
    assert bounding_box(outline.spine.pieces)[3] == pytest.approx(max(0.0, promised_tip(profile)), abs=EXACT)
    if hasattr(profile, "choil_radius"):
        assert -1 / curvatures(outline.choil).min() == pytest.approx(profile.choil_radius, rel=1e-3)
    else:
        # Flush with the handle: level from front to heel.
        assert np.abs(curvatures(outline.choil)).max() < EXACT
        assert outline.heel[1] == outline.front_bottom[1]


@every_handle
@BOX
@given(data=st.data())
def test_a_handle_has_the_promised_length_and_joint(handle: type, data: st.DataObject) -> None:
    profile, blade = handle(**data.draw(within_ranges(handle))), data.draw(st.sampled_from(BLADES))()
    outline = join_halves(blade, profile)
    assert outline.bounds[0] == pytest.approx(-profile.length, abs=EXACT)
    assert outline.front_bottom == pytest.approx((0.0, -blade.front_height), abs=EXACT)


def test_a_kitchen_knife_leaves_room_for_the_knuckles() -> None:
    # 20 mm below the handle: common practice, no source.
    for name in ("chef", "flat_kitchen", "cleaver"):
        blade = profiles.get(name)()
        assert blade.height - blade.front_height >= 20, name


@BOX
@given(data=st.data())
def test_a_finger_fits_the_finger_choil(data: st.DataObject) -> None:
    # A first finger is 20 mm broad or less: common practice, no source.
    profile = FingerChoil(**data.draw(within_ranges(FingerChoil)))
    outline = join_halves(data.draw(st.sampled_from(BLADES))(), profile)
    front = outline.front_bottom[1]
    x = np.linspace(-45.0, -0.5, 400)
    _, lower = outline.tang_height(x)
    notch = x[lower > front + 0.1]
    assert notch.max() - notch.min() >= 20
    assert lower.max() - front == pytest.approx(profile.finger_depth, abs=0.05)
    assert -1 / curvatures(outline.handle_underside).min() >= 10


@BOX
@given(data=st.data())
def test_a_stick_tang_stands_square_behind_its_shoulders(data: st.DataObject) -> None:
    profile, blade = StickTang(**data.draw(within_ranges(StickTang))), data.draw(st.sampled_from(BLADES))()
    try:
        outline = join_halves(blade, profile)
    except ParameterError as error:
        if error.name != "shoulder_radius":
            raise
        return
    assert outline.handle_top.start_direction == (0.0, -1.0)
    assert outline.handle_underside.end_direction == (0.0, -1.0)
    height = blade.front_height
    upper, lower = outline.tang_height(np.array([-4.0, -profile.length / 2]))
    root = height * (1 - 2 * profile.shoulder)
    assert upper + lower == pytest.approx(-height, abs=4 * CHORD)
    assert root * profile.end_height - 2 * CHORD <= upper[1] - lower[1] <= upper[0] - lower[0] <= root + 2 * CHORD
    assert -1 / curvatures(outline.handle_top).min() == pytest.approx(profile.shoulder_radius, rel=1e-3)


def test_no_scales_go_on_a_stick_tang() -> None:
    outline = join_halves(DropPoint(), StickTang())
    assert ground(outline).scales is None
    with pytest.raises(ParameterError) as caught:
        ground(outline, scales=Scales(slab="NEMA L", thickness=7.0))
    assert_refused(caught.value, "knife: scales")
    assert ground(join_halves(DropPoint(), Swelled()), scales=Scales(slab="NEMA L", thickness=7.0)).scales


@BOX
@given(data=st.data())
def test_a_tapered_handle_has_the_promised_butt(data: st.DataObject) -> None:
    profile = Taper(**data.draw(within_ranges(Taper)))
    top, butt, underside = profile.handle(Joint(height=22.0, bottom_slope_deg=-3.0))
    (dx, dy), (ex, ey) = top.end_direction, underside.start_direction
    # The cut lies along the straight line between the two roundings.
    (ax, ay), (bx, by) = (butt.pieces[1, i] for i in (0, 3))
    assert math.degrees(math.atan2(bx - ax, ay - by)) == pytest.approx(profile.butt_lean, abs=0.01)
    along = np.array([bx - ax, by - ay])

    def met(place: tuple[float, float], way: tuple[float, float]) -> float:
        """Height at which a line meets the cut."""
        s = ((ax - place[0]) * along[1] - (ay - place[1]) * along[0]) / (way[0] * along[1] - way[1] * along[0])
        return float(place[1] + s * way[1])

    upper, lower = met(top.end, (dx, dy)), met(underside.start, (ex, ey))
    assert upper == pytest.approx(-profile.drop, abs=0.05)
    assert upper - lower == pytest.approx(profile.butt_height, abs=0.05)


@pytest.mark.parametrize("handle", [Straight, Swelled, FingerChoil], ids=title)
@BOX
@given(data=st.data())
def test_a_butt_has_the_promised_place_and_height(handle: type, data: st.DataObject) -> None:
    profile, blade = handle(**data.draw(within_ranges(handle))), data.draw(st.sampled_from(BLADES))
    outline, front = join_halves(blade(), profile), blade().front_height
    x = profile.butt_round - profile.length
    assert outline.butt.start == pytest.approx((x, -profile.drop), abs=EXACT)
    assert outline.butt.end == pytest.approx((x, -profile.drop - front - profile.flare), abs=EXACT)


@BOX
@given(data=st.data())
def test_a_swell_stands_out_with_any_blade(data: st.DataObject) -> None:
    profile, blade = Swelled(**data.draw(within_ranges(Swelled))), data.draw(st.sampled_from(BLADES))
    outline, front = join_halves(blade(), profile), blade().front_height
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


@BOX
@given(data=st.data())
def test_a_bird_s_head_has_the_promised_lowest_point(data: st.DataObject) -> None:
    profile, blade = BirdsHead(**data.draw(within_ranges(BirdsHead))), data.draw(st.sampled_from(BLADES))
    outline, front = join_halves(blade(), profile), blade().front_height
    handle = np.concatenate([c.pieces for c in (outline.handle_top, outline.butt, outline.handle_underside)])
    _, low, _, high = bounding_box(handle)
    assert low == pytest.approx(-front - profile.head_drop, abs=EXACT)
    assert outline.butt.end == pytest.approx((profile.head_width - profile.length, low), abs=EXACT)
    assert high == pytest.approx(profile.crown, abs=EXACT)


# All the sensible ranges, and beyond


@every_profile
@BOX
@given(data=st.data())
def test_all_over_its_ranges_a_profile_is_well_drawn_or_clearly_refused(profile: type, data: st.DataObject) -> None:
    values, other = data.draw(within_ranges(profile)), data.draw(st.sampled_from(partner(profile)))()
    try:
        outline = joined(profile(**values), other)
    except ParameterError as error:
        if error.name not in values:
            raise
        return
    assert_sound(outline)


@every_profile
def test_nine_in_ten_of_the_sensible_values_can_be_drawn(profile: type) -> None:
    random = np.random.default_rng(20)
    others = itertools.cycle(partner(profile))
    refused = 0
    for _ in range(40):
        try:
            joined(drawn_at_random(profile, random), next(others)())
        except ParameterError:
            refused += 1
    assert refused <= 4


@every_blade
def test_whatever_both_halves_are_they_join_or_are_refused(blade: type) -> None:
    random = np.random.default_rng(21)
    refused = 0
    for handle in HANDLES * 2:
        try:
            outline = join_halves(drawn_at_random(blade, random), drawn_at_random(handle, random))
        except ParameterError:
            refused += 1
            continue
        assert outline.polygon.is_valid
        assert outline.area > 0
    assert refused <= len(HANDLES) / 4


@every_profile
@BOX
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
        (DropPoint, {"height": 20.0}, "height | 22.5 mm"),
        (DropPoint, {"heel": 60.0}, "heel | 55 mm"),
        (DropPoint, {"choil_radius": 30.0}, "choil_radius"),
        (DropPoint, {"choil_radius": 0.0}, "choil_radius"),
        (DropPoint, {"blade_length": 0.0}, "blade_length"),
        (DropPoint, {"blade_length": -5.0}, "blade_length"),
        (Petty, {"tip_drop": 29.0}, "tip_drop | 29 mm"),
        (Petty, {"front_height": 0.0}, "front_height"),
        (Petty, {"height": 18.2}, "height | 18.49 mm"),
        (Chef, {"spine_straight": 1.0}, "spine_straight | 0 | 1"),
        (Chef, {"edge_straight": 1.5}, "edge_straight | 0 | 1"),
        (Chef, {"belly": 1.2}, "belly | 1.5"),
        (Straight, {"butt_round": 0.0}, "butt_round | 57.5 mm"),
        (Straight, {"flare": -60.0}, "which must be more than 0: give it more flare or less butt_round"),
        (Swelled, {"relief": 30.0}, "relief"),
        (Swelled, {"butt_round": 80.0}, "butt_round"),
        (Swelled, {"swell": 3.0, "crown": 0.0, "relief": 17.0, "drop": 60.0}, "the outline crosses itself near x"),
        (BirdsHead, {"head_drop": 0.0}, "head_drop"),
        (BirdsHead, {"head_width": 90.0}, "head_width"),
        (BirdsHead, {"waist": 40.0}, "waist"),
        (BirdsHead, {"length": 0.0}, "length"),
    ],
)
def test_the_impossible_is_refused_in_words(profile: type, values: dict[str, float], text: str) -> None:
    with pytest.raises((ParameterError, OutlineError, CurveError)) as caught:
        joined(profile(**values), Waisted() if profile in BLADES else Wharncliffe())
    if isinstance(caught.value, ParameterError):
        assert_refused(caught.value, text)
    else:
        assert text in str(caught.value)


def test_the_joint_has_a_height() -> None:
    with pytest.raises(ParameterError) as caught:
        Joint(height=0.0)
    assert (caught.value.part, caught.value.field) == ("steel at the handle front", "height")


@pytest.mark.parametrize("handle", FULL, ids=title)
def test_a_handle_takes_up_the_slopes_of_any_joint(handle: type) -> None:
    joint = Joint(height=23.0, top_slope_deg=3.0, bottom_slope_deg=-6.0)
    curves = handle().handle(joint)
    (tx, ty), (ux, uy) = curves.top.start_direction, curves.underside.end_direction
    assert math.degrees(math.atan2(-ty, -tx)) == pytest.approx(3.0, abs=SMOOTH_DEG)
    assert math.degrees(math.atan2(uy, ux)) == pytest.approx(-6.0, abs=SMOOTH_DEG)
    assert curves.underside.end == (0.0, -23.0)

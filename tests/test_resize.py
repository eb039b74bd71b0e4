"""One number of a profile changed: what must move, by how much, and what must stay where it is."""

from __future__ import annotations

import functools
import itertools
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from bladegeom import profiles
from bladegeom.curves.curve import Curve
from bladegeom.outline.outline import CURVE_NAMES, Outline, join_halves
from bladegeom.outline.parameter import Parameter, parameters
from bladegeom.quantities.tolerances import JOINED

EXACT = 1e-9  # rounding of numbers of a few hundred mm

NAMES = profiles.names()
BLADES = [profiles.get(name) for name in NAMES if profiles.half(profiles.get(name)) == "blade"]
HANDLES = [profiles.get(name) for name in NAMES if profiles.half(profiles.get(name)) == "handle"]
BirdsHead, FingerChoil, HookButt, StickTang, Straight, Swelled, Taper, Waisted = (
    profiles.get(name)
    for name in (
        "birds_head",
        "finger_choil",
        "hook_butt",
        "stick_tang",
        "straight",
        "swelled",
        "taper",
        "waisted",
    )
)
PAIRS = list(itertools.product(BLADES, HANDLES))[::3]
"""A third of all: every blade comes up with two handles or three, every handle with five blades."""

CLIPPED, FLUSH = profiles.get("clip_point"), profiles.get("flush")

CUT = [profiles.get("cut_nose"), profiles.get("broken_back")]
"""Their spine is cut down to the tip at an angle of its own."""

HIGHER = [pair for pair in PAIRS if pair[0] is not FLUSH]
"""With a blade that is higher than the handle."""

TIP_FROM_EDGE = {blade for blade in BLADES if not hasattr(blade(), "tip_drop") and not hasattr(blade(), "tip_rise")}
"""Their tip is told from the edge, so it goes with the edge, and the spine with the tip."""

HANDLE = {"handle_top", "butt", "handle_underside"}
SPINE, EDGE, CHOIL = {"spine"}, {"edge"}, {"choil"}

BLADE_MOVES: dict[str, tuple[set[str], dict[str, tuple[int, int]]]] = {
    # Which curves may change, and how far heel, tip and front_bottom move for 1 mm more, along x and y;
    # a landmark that is not named stays. A parameter of another name may change the blade's curves and move nothing.
    "blade_length": (EDGE | SPINE, {"tip": (1, 0)}),
    "height": (EDGE | CHOIL, {"heel": (0, -1)}),
    "front_height": (CHOIL | HANDLE, {"front_bottom": (0, -1)}),
    "heel": (EDGE | CHOIL, {"heel": (1, 0)}),
    "choil_radius": (CHOIL, {}),
    "tip_drop": (EDGE | SPINE, {"tip": (0, -1)}),
    "tip_rise": (EDGE | SPINE, {"tip": (0, 1)}),
    "edge_rise": (EDGE | SPINE, {"tip": (0, 1)}),
    **dict.fromkeys(("edge_straight", "belly", "belly_at", "belly_depth", "hollow", "hollow_at"), (EDGE, {})),
    "lip": (CHOIL, {}),
    **dict.fromkeys(("depth", "deep_at", "point", "point_bow"), (EDGE, {})),
    **dict.fromkeys(("spine_straight", "spine_curve", "clip_at", "clip_hollow", "clip_round"), (SPINE, {})),
    **dict.fromkeys(("nose", "nose_lean", "nose_round", "tip_slope", "cut", "corner_round"), (SPINE, {})),
}

OWN_MOVES: dict[tuple[type, str], tuple[set[str], dict[str, tuple[int, int]]]] = {
    **{(blade, "height"): (EDGE | SPINE | CHOIL, {"heel": (0, -1), "tip": (0, -1)}) for blade in TIP_FROM_EDGE},
    # Of the secondary point: the tip is told from the spine.
    (profiles.get("tanto"), "edge_rise"): (EDGE, {}),
    # No higher than the handle: its edge lies where the handle's underside begins.
    (FLUSH, "front_height"): (EDGE | CHOIL | HANDLE, {"front_bottom": (0, -1), "heel": (0, -1)}),
}

TOP, BUTT, UNDER = {"handle_top"}, {"butt"}, {"handle_underside"}

HANDLE_MAY = {
    # What may change besides the whole handle, which ``length`` and ``butt_round`` always may.
    (BirdsHead, "waist"): UNDER,
    (FingerChoil, "finger_radius"): UNDER,
    (FingerChoil, "finger_depth"): UNDER,
    (FingerChoil, "lobe"): UNDER | BUTT,
    (FingerChoil, "hollow"): UNDER | BUTT,
    (FingerChoil, "crown"): TOP | BUTT,
    (FingerChoil, "flare"): UNDER | BUTT,
    (HookButt, "relief"): UNDER,
    (HookButt, "crown"): TOP | BUTT,
    (HookButt, "drop"): TOP | BUTT,
    (StickTang, "shoulder_radius"): TOP | UNDER,
    (Straight, "flare"): UNDER | BUTT,
    (Swelled, "swell"): UNDER | BUTT,
    (Swelled, "relief"): UNDER | BUTT,
    (Swelled, "crown"): TOP | BUTT,
    (Swelled, "flare"): UNDER | BUTT,
    (Taper, "butt_height"): UNDER | BUTT,
    (Waisted, "waist"): TOP | UNDER,
}

ENDS = {
    # How far the ends of the top and of the underside at the butt move for 1 mm more.
    (Straight, "drop"): ((0, -1), (0, -1)),
    (Swelled, "drop"): ((0, -1), (0, -1)),
    (FingerChoil, "drop"): ((0, -1), (0, -1)),
    (Straight, "flare"): ((0, 0), (0, -1)),
    (Swelled, "flare"): ((0, 0), (0, -1)),
    (FingerChoil, "flare"): ((0, 0), (0, -1)),
    (Straight, "length"): ((-1, 0), (-1, 0)),
    (Swelled, "length"): ((-1, 0), (-1, 0)),
    (FingerChoil, "length"): ((-1, 0), (-1, 0)),
    (Straight, "butt_round"): ((1, 0), (1, 0)),
    (Swelled, "butt_round"): ((1, 0), (1, 0)),
    (FingerChoil, "butt_round"): ((1, 0), (1, 0)),
}


def title(value: object) -> str:
    return value.__name__ if isinstance(value, type) else value.name if isinstance(value, Parameter) else str(value)


every_blade = pytest.mark.parametrize("blade", BLADES, ids=title)
every_handle = pytest.mark.parametrize("handle", HANDLES, ids=title)


def steps(p: Parameter) -> list[float]:
    """To either side of the default: 2 mm or degrees or a tenth of the range, as far as the range goes."""
    wanted = 2.0 if p.unit in ("mm", "deg") else (p.high - p.low) / 10
    both = (min(wanted, p.high - p.default), max(-wanted, p.low - p.default))
    return [step for step in both if step]


def joined(half: Any, other: Any) -> Outline:
    return join_halves(half, other) if hasattr(half, "blade") else join_halves(other, half)


@functools.cache
def plain(blade: Any, handle: Any) -> Outline:
    """Both as they come."""
    return join_halves(blade(), handle())


def same(curve: Curve, other: Curve) -> bool:
    return curve.pieces.shape == other.pieces.shape and bool(np.abs(curve.pieces - other.pieces).max() <= EXACT)


def changed(before: Outline, after: Outline) -> set[str]:
    return {name for name in CURVE_NAMES if not same(getattr(before, name), getattr(after, name))}


def moved(before: Outline, after: Outline) -> dict[str, np.ndarray[Any, Any]]:
    return {name: np.subtract(getattr(after, name), getattr(before, name)) for name in ("heel", "tip", "front_bottom")}


def level_to(spine: Curve) -> float:
    """How far ahead of the origin a spine is level, mm."""
    ((x, y), *_) = spine.pieces[-1]
    return float(x) if abs(y) <= JOINED else 0.0


@every_blade
def test_a_blade_moves_as_the_table_says(blade: Any) -> None:
    before = plain(blade, Taper)
    for p in parameters(blade):
        may, places = OWN_MOVES.get((blade, p.name), BLADE_MOVES.get(p.name, (EDGE | SPINE | CHOIL, {})))
        for step in steps(p):
            after = joined(replace(blade(), **{p.name: p.default + step}), Taper())
            told = changed(before, after)
            assert told, f"{p.name} changes nothing"
            assert told <= may, p.name
            for name, way in moved(before, after).items():
                assert way == pytest.approx(np.multiply(places.get(name, (0, 0)), step), abs=EXACT), (p.name, name)


@every_handle
def test_a_handle_never_moves_the_blade(handle: Any) -> None:
    before = plain(BLADES[0], handle)
    for p in parameters(handle):
        for step in steps(p):
            after = joined(replace(handle(), **{p.name: p.default + step}), BLADES[0]())
            told = changed(before, after)
            assert told, f"{p.name} changes nothing"
            assert told <= HANDLE_MAY.get((handle, p.name), HANDLE), p.name
            assert all(way == pytest.approx([0, 0], abs=EXACT) for way in moved(before, after).values()), p.name
            if p.name != "length":
                # The handle is as long as it says, whatever else of it is changed.
                assert after.bounds[0] == pytest.approx(before.bounds[0], abs=1e-6), p.name


@pytest.mark.parametrize(("key", "ways"), ENDS.items(), ids=lambda value: "-".join(map(title, value)))
def test_the_butt_moves_as_its_measures_say(key: tuple[Any, str], ways: tuple[tuple[int, int], ...]) -> None:
    profile, name = key
    before = plain(BLADES[0], profile)
    after = joined(replace(profile(), **{name: getattr(profile(), name) + 1.0}), BLADES[0]())
    assert np.subtract(after.handle_top.end, before.handle_top.end) == pytest.approx(ways[0], abs=EXACT)
    assert np.subtract(after.handle_underside.start, before.handle_underside.start) == pytest.approx(ways[1], abs=EXACT)


# What a maker asks for


@pytest.mark.parametrize(("blade", "handle"), PAIRS, ids=title)
def test_ten_millimetres_more_blade_on_the_same_handle(blade: Any, handle: Any) -> None:
    before = plain(blade, handle)
    after = joined(replace(blade(), blade_length=blade().blade_length + 10.0), handle())
    assert changed(before, after) == {"edge", "spine"}
    assert after.tip == pytest.approx((before.tip[0] + 10.0, before.tip[1]), abs=EXACT)
    assert after.bounds[0] == before.bounds[0]


@pytest.mark.parametrize(("blade", "handle"), HIGHER, ids=title)
def test_two_millimetres_more_height_under_the_same_spine(blade: Any, handle: Any) -> None:
    before = plain(blade, handle)
    after = joined(replace(blade(), height=blade().height + 2.0), handle())
    assert not changed(before, after) & HANDLE
    assert after.heel == pytest.approx((before.heel[0], before.heel[1] - 2.0), abs=EXACT)
    # The edge leaves the heel in the direction it had.
    assert after.edge.start_direction == pytest.approx(before.edge.start_direction, abs=EXACT)
    if blade not in TIP_FROM_EDGE:
        assert same(before.spine, after.spine)
        assert after.tip == before.tip
    else:
        assert after.tip == pytest.approx((before.tip[0], before.tip[1] - 2.0), abs=EXACT)
        assert level_to(after.spine) > 0


@pytest.mark.parametrize("blade", [blade for blade in BLADES if hasattr(blade(), "tip_drop")], ids=title)
def test_a_tip_raised_keeps_the_spine_up_to_where_it_drops(blade: Any) -> None:
    before, after = (joined(replace(blade(), tip_drop=blade().tip_drop - by), Taper()) for by in (0.0, 2.0))
    assert changed(before, after) == {"edge", "spine"}
    assert after.tip == pytest.approx((before.tip[0], before.tip[1] + 2.0), abs=EXACT)
    assert after.heel == before.heel
    # A clip's rounded corner begins where its steeper or flatter slope meets the level: a tenth of a mm elsewhere.
    # A cut keeps its angle: what is less cut off begins farther ahead.
    ahead = 2.0 / np.tan(np.radians(blade().cut)) if blade in CUT else 0.0
    wanted = level_to(before.spine) + ahead
    assert level_to(after.spine) == pytest.approx(wanted, abs=0.1 if blade is CLIPPED else EXACT)
    # The level ends half a ramp, 10 mm, before the place where the bend begins.
    assert level_to(after.spine) > 0.1 * blade().blade_length - 10.0


@pytest.mark.parametrize(("blade", "handle"), PAIRS, ids=title)
def test_a_longer_handle_ends_farther_back(blade: Any, handle: Any) -> None:
    before = plain(blade, handle)
    after = joined(blade(), replace(handle(), length=handle().length + 7.5))
    assert changed(before, after) <= HANDLE
    assert after.bounds[0] == pytest.approx(before.bounds[0] - 7.5, abs=1e-6)
    assert after.bounds[2] == before.bounds[2]


@every_blade
def test_anywhere_in_the_ranges_only_what_may_moves(blade: Any) -> None:
    random = np.random.default_rng(3)
    for _ in range(12):
        drawn = blade(**{p.name: float(random.uniform(p.low, p.high)) for p in parameters(blade)})
        deeper = {} if blade is FLUSH else {"height": drawn.height + 2.0}
        other = replace(drawn, blade_length=drawn.blade_length + 10.0, **deeper)
        before, after = joined(drawn, Taper()), joined(other, Taper())
        down = -2.0 if blade in TIP_FROM_EDGE else 0.0
        assert not changed(before, after) & HANDLE
        assert np.subtract(after.tip, before.tip) == pytest.approx([10.0, down], abs=EXACT)
        assert np.subtract(after.heel, before.heel) == pytest.approx([0.0, -2.0 if deeper else 0.0], abs=EXACT)

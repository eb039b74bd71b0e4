"""What is placed keeps every rule, told by a checker that shares no code with the library; and it is the best row."""

from __future__ import annotations

import dataclasses
import itertools
import math
from typing import Any

import numpy as np
import pytest
import shapely
from draws import draws
from hypothesis import HealthCheck, assume, given
from hypothesis import strategies as st
from placed import narrow
from refusals import assert_facts, assert_refused, assert_tells
from scipy.spatial import cKDTree
from specimens import bar_outline, chef, drop_point, ground, petty, pins, plain_tang
from strategies import tangs

from bladegeom.curves.curve import FloatArray
from bladegeom.fasteners.pin import Pin
from bladegeom.fasteners.tube import Tube
from bladegeom.findings.check import check
from bladegeom.knife.hole import Hole, Opening, Slot
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import HoleRules, Shop
from bladegeom.placing.place import add_fasteners, add_lightening_row
from bladegeom.quantities.drills import Drill, drill
from bladegeom.quantities.errors import ParameterError, PlacingError

SHOP = 0.01
"""A rule is broken only if it is missed by more than this, mm."""

HOLE_CODES = {
    "hole-outside",
    "rim",
    "edge-distance",
    "web",
    "holes-overlap",
    "clear-strip",
    "hole-too-small",
    "no-drill",
    "net-width",
}


def dense(knife: Knife) -> FloatArray:
    """The outline as points about 0.05 mm apart, from the Bernstein form."""
    rows = []
    for p in knife.outline.loop.pieces:
        n = max(8, math.ceil(float(np.hypot(*np.diff(p, axis=0).T).sum()) / 0.05))
        u = (np.arange(n) / n)[:, None]
        rows.append((1 - u) ** 3 * p[0] + 3 * (1 - u) ** 2 * u * p[1] + 3 * (1 - u) * u * u * p[2] + u**3 * p[3])
    return np.concatenate(rows)


def centre_lines(opening: Opening) -> FloatArray:
    (x0, y0), (x1, y1) = (opening.start, opening.end) if isinstance(opening, Slot) else ((opening.x, opening.y),) * 2
    u = np.linspace(0.0, 1.0, 200)[:, None]
    return np.asarray((1 - u) * np.array([x0, y0]) + u * np.array([x1, y1]))


def broken(knife: Knife, added: tuple[Opening, ...]) -> list[str]:
    """Every rule that an added round hole breaks, in words; nothing if all keep them."""
    outline = dense(knife)
    tree, steel = cKDTree(outline), shapely.Polygon(outline)
    r, t, process = knife.rules, knife.stock.thickness, knife.shop.process
    a = math.radians(knife.front_lean_deg)
    out = narrow(knife, steel, added)
    for hole in added:
        x, y, d = hole.x, hole.y, hole.diameter
        # The nearest sample is farther than the outline by no more than 0.025^2 / 2 a, under 0.001 mm here.
        edge = float(tree.query([x, y])[0])
        lines = [(centre_lines(other), other.diameter) for other in knife.openings if other is not hole]
        webs = [float(np.hypot(*(line - [x, y]).T).min()) - (d + wide) / 2 for line, wide in lines]
        least = max(process.smallest_hole, process.smallest_hole_per_thickness * t) if hole.made == "cut" else 0.0
        missed = {
            "outside": 0.0 if shapely.contains_xy(steel, x, y) else 1.0,
            "edge distance": r.edge_distance_per_diameter * d - edge,
            "rim": max(r.rim, r.per_thickness * t) - (edge - d / 2),
            "strip": r.clear_strip + x * math.cos(a) - y * math.sin(a) + d / 2,
            "web": max(r.web, r.per_thickness * t) - min(webs, default=math.inf),
            "too small": least - d,
            "no drill": min(abs(bit.diameter - d) for bit in knife.shop.drills),
        }
        out += [f"{word} by {by:.3f}: {hole}" for word, by in missed.items() if by > SHOP]
    return out


def hole_findings(knife: Knife) -> list[str]:
    return [f"{f.code}: {f.message}" for f in check(knife) if f.code in HOLE_CODES]


slots = st.builds(
    lambda x, run, d: Slot(start=(x, -8.0), end=(x - run, -9.0), diameter=d, purpose="lanyard"),
    st.floats(-100.0, -20.0),
    st.floats(2.0, 15.0),
    st.floats(2.0, 5.0),
)


@given(
    tangs(),
    st.integers(1, 5),
    st.floats(1.6, 8.0),
    st.sampled_from(["cut", "drilled", "reamed"]),
    st.none() | st.floats(5.0, 12.0),
    st.none() | slots,
)
@draws(50, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])
def test_placed_holes_keep_every_rule(
    knife: Knife, count: int, size: float, made: Any, largest: float | None, before: Slot | None
) -> None:
    start = dataclasses.replace(knife, holes=(before,) if before else ())
    chosen = min(knife.shop.drills, key=lambda d: abs(d.diameter - size))
    try:
        drilled = add_fasteners(start, pins(chosen), count=count, made=made)
    except PlacingError:
        drilled, count = start, 0
    assert len(drilled.fasteners) == count
    assert drilled.holes == start.holes
    try:
        lightened = add_lightening_row(drilled, largest=largest)
    except PlacingError as error:
        assert "for a lightening hole of" in str(error) or "the drill index has no size" in str(error)  # noqa: PT017
        lightened = drilled
    assert lightened.fasteners == drilled.fasteners
    row = lightened.holes[len(start.holes) :]
    assert lightened.holes == start.holes + row
    assert largest is None or all(h.diameter <= largest for h in row)
    added = lightened.holes_for_fasteners + row
    assert broken(lightened, added) == []
    # The library's own check agrees; what was there before is not its matter.
    told = hole_findings(lightened)
    assert all(" T1 " in line for line in told), told
    if before is None:
        assert told == []


def test_the_checker_sees_broken_rules() -> None:
    at = [(-5.0, -12.5, 4.0), (-40.0, -3.0, 3.0), (-60.0, -12.5, 12.0), (-73.0, -12.5, 10.0), (-90.0, 3.0, 0.5)]
    holes = tuple(Hole(x=x, y=y, diameter=d, purpose="lightening") for x, y, d in at)
    told = " ".join(broken(ground(plain_tang(), holes=holes), holes))
    for word in ("strip", "rim", "edge distance", "web", "outside", "too small", "no drill"):
        assert word in told


@given(tangs())
@draws(15, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])
def test_the_same_input_gives_the_same_row(knife: Knife) -> None:
    anew = dataclasses.replace(knife)
    try:
        row = add_lightening_row(knife).holes
    except PlacingError:
        assume(False)  # noqa: FBT003
    assert add_lightening_row(anew).holes == row


# The best row.


@pytest.mark.parametrize("length", [38.0, 50.0, 57.0])
@pytest.mark.parametrize("sizes", [("5/16", "13/32"), ("3/16", "1/4", "3/8")])
def test_the_row_takes_out_the_most(length: float, sizes: tuple[str, ...]) -> None:
    knife = ground(plain_tang(length=length), shop=Shop(drills=tuple(drill(s) for s in sizes)))
    row = add_lightening_row(knife).holes
    # All rows of the same half-millimetre places on the mid line of a tang 25 mm high, one by one. Rim and web 4 mm by
    # the stock, 1.2 diameters to the outline, 10 mm free behind the front.
    candidates = [
        (-0.5 * i, bit.diameter)
        for i in range(1, int(2 * length))
        for bit in knife.shop.drills
        if (edge := min(12.5, length - 0.5 * i)) - bit.diameter / 2 >= 4.0
        and edge >= 1.2 * bit.diameter
        and 0.5 * i - bit.diameter / 2 >= 10.0
    ]

    # Every row is a first hole and the best row behind it; from the rear forward each stretch is looked at once.
    most: dict[float, float] = {}
    for limit in sorted({x - d / 2 - 4.0 for x, d in candidates}):
        most[limit] = max((d * d + most[x - d / 2 - 4.0] for x, d in candidates if x + d / 2 <= limit), default=0.0)
    optimum = max((d * d + most[x - d / 2 - 4.0] for x, d in candidates), default=0.0)
    assert sum(h.diameter**2 for h in row) == pytest.approx(optimum, rel=1e-12)


def test_the_row_by_exhaustive_search() -> None:
    knife = ground(plain_tang(length=44.0), shop=Shop(drills=(drill("5/16"), drill("13/32"))))
    row = add_lightening_row(knife).holes
    candidates = [
        (-0.5 * i, bit.diameter)
        for i in range(1, 88)
        for bit in knife.shop.drills
        if min(12.5, 44.0 - 0.5 * i) >= max(4.0 + bit.diameter / 2, 1.2 * bit.diameter)
        and 0.5 * i - bit.diameter / 2 >= 10.0
    ]
    most = 0.0
    # 30 mm between the strip and the butt's rim hold no more than two of these with webs of 4 mm.
    assert 3 * drill("5/16").diameter + 2 * 4.0 > 44.0 - 10.0 - 4.0
    for n in (1, 2):
        for chosen in itertools.combinations(candidates, n):
            apart = all(abs(p[0] - q[0]) >= (p[1] + q[1]) / 2 + 4.0 for p, q in itertools.combinations(chosen, 2))
            if apart:
                most = max(most, sum(d * d for _, d in chosen))
    assert sum(h.diameter**2 for h in row) == pytest.approx(most, rel=1e-12)
    assert len(row) == 2


@pytest.mark.parametrize("make", [drop_point, petty, chef])
def test_no_hole_can_be_added_to_a_finished_row(make: Any) -> None:
    lightened = add_lightening_row(add_fasteners(make(), pins("3/16"), count=2))
    with pytest.raises(PlacingError) as caught:
        add_lightening_row(lightened)
    assert_facts(caught.value, rule="web")
    assert sum(h.purpose == "lightening" for h in lightened.holes) >= 4


def test_no_row_where_nothing_fits() -> None:
    thin = bar_outline(height=7.0)
    # 7 mm high, with 4 mm of rim on both sides.
    with pytest.raises(PlacingError) as caught:
        add_lightening_row(ground(thin, height=5.0))
    assert_facts(caught.value, rule="rim", limit=0.0)
    with pytest.raises(PlacingError) as caught:
        add_lightening_row(ground(plain_tang(length=14.0)))
    assert_facts(caught.value, rule="strip")
    with pytest.raises(PlacingError) as caught:
        add_lightening_row(ground(plain_tang(length=0.4)))
    assert_facts(caught.value, rule="", limit=None)


def test_no_row_without_a_usable_drill() -> None:
    small = Shop(drills=(drill("1/16"), drill("5/64")))
    with pytest.raises(PlacingError) as caught:
        add_lightening_row(ground(plain_tang(), thickness=6.0, shop=small))
    assert_facts(caught.value, value=None, limit=3.0)
    assert_tells(str(caught.value), "1.588 mm", "1.984 mm")
    # Drilled, they need not be cut.
    row = add_lightening_row(ground(plain_tang(), thickness=6.0, shop=small), made="drilled").holes
    assert {h.diameter for h in row} == {drill("5/64").diameter}
    assert {h.made for h in row} == {"drilled"}
    with pytest.raises(PlacingError) as caught:
        add_lightening_row(ground(plain_tang()), largest=1.5)
    assert_facts(caught.value, value=1.5, limit=2.0)


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, "5 mm"])
def test_row_refuses(value: Any) -> None:
    with pytest.raises(ParameterError) as caught:
        add_lightening_row(drop_point(), largest=value)
    assert_refused(caught.value, "lightening holes: largest | 0")


# Fasteners.


def test_fasteners_stand_evenly_on_the_mid_line() -> None:
    start = ground(plain_tang(length=120.0))
    knife = add_fasteners(start, pins("1/4"), count=4, front=16.0, rear=20.0)
    # Source: plain arithmetic: from -16 to -100 in three steps of 28, at half the height of 25.
    assert [f.x for f in knife.fasteners] == pytest.approx([-16.0, -44.0, -72.0, -100.0])
    assert [f.y for f in knife.fasteners] == pytest.approx([-12.5] * 4)
    assert {(h.diameter, h.purpose, h.made) for h in knife.openings} == {(6.35, "fastener", "drilled")}
    assert {f.hardware for f in knife.fasteners} == {pins("1/4")}
    assert knife.holes == ()


@pytest.mark.parametrize("size", ["1/4", 6.35, "6.35 mm", drill("1/4")])
def test_sizes_in_any_form(size: str | float | Drill) -> None:
    (hole,) = add_fasteners(drop_point(), pins(size), count=1, made="reamed").openings
    assert (hole.diameter, hole.made) == (6.35, "reamed")


def test_a_fastener_gives_way_to_the_nearest_legal_place() -> None:
    # A slot from -52 to -44, 6 wide: with webs of 4 mm and a hole of 6.35 the centre must keep 10.175 mm from its line.
    slot = Slot(start=(-52.0, -12.5), end=(-44.0, -12.5), diameter=6.0, purpose="lanyard")
    knife = ground(plain_tang(length=120.0), holes=(slot,))
    for wanted, found in ((45.0, -33.5), (55.0, -62.5)):
        (placed,) = add_fasteners(knife, pins("1/4"), count=1, front=wanted).fasteners
        assert placed.x == found


def test_the_first_keeps_the_clear_strip() -> None:
    # 10 mm and half of 6.35 mm: 13.175, on the next half millimetre 13.5.
    (hole,) = add_fasteners(ground(plain_tang()), pins("1/4"), count=1, front=5.0).fasteners
    assert hole.x == -13.5


def test_a_leaning_front_keeps_its_strip_along_the_whole_line() -> None:
    # Source: closed form: at y = -12.5 the front, 30 degrees back, stands at -7.217; the centre must be 13.175 mm
    # square from it: 15.213 mm along x: -22.43, on the next half millimetre -22.5.
    (hole,) = add_fasteners(ground(plain_tang(), front_lean_deg=30.0), pins("1/4"), count=1, front=5.0).fasteners
    assert hole.x == -22.5


def rules(**more: float) -> HoleRules:
    none = {"edge_distance_per_diameter": 0.0, "rim": 0.0, "web": 0.0, "per_thickness": 0.0, "clear_strip": 0.0}
    return HoleRules(name="one rule", **{**none, "net_width": 0.0, **more})  # type: ignore[arg-type]


# In a tang 25 mm high the mid line is 12.5 mm from the outline; 0.01 mm are kept in hand.
STOPPED = [
    # Rim: 12.5 - 11 leaves a radius of 1.5.
    (rules(rim=11.0), "the rim to the outline leaves room for 2.98 mm"),
    # Edge distance: 12.5 / 3 = 4.17.
    (rules(edge_distance_per_diameter=3.0), "the edge distance leaves room for 4.16 mm"),
    # Clear strip: the last place is half a millimetre ahead of the butt, at -119.5: 2.5 mm behind the strip.
    # Net width: nine tenths of 25 mm leave 2.5; 0.005 mm are kept in hand.
    (rules(net_width=0.9), "the net width leaves room for 2.495 mm"),
    (rules(clear_strip=117.0), "the clear strip behind the handle front leaves room for"),
    # Web: with one of 6.35 in the middle, at most 59.5 - 3.175 - 57 = -0.7 is left.
    (rules(web=57.0), "the web to the other holes leaves room for 0.00 mm"),
]


@pytest.mark.parametrize(("limits", "words"), STOPPED)
def test_what_stops_a_fastener(limits: HoleRules, words: str) -> None:
    middle = Hole(x=-60.0, y=-12.5, diameter=6.35, purpose="lanyard")
    knife = ground(plain_tang(length=120.0), rules=limits, holes=(middle,) if limits.web else ())
    with pytest.raises(PlacingError) as caught:
        add_fasteners(knife, pins("1/4"), count=1)
    text = str(caught.value)
    assert text.startswith("no legal place on the tang for fastener 1 of 6.35 mm (1/4 in): " + words)
    assert "near x -" in text


def test_the_number_in_the_message_is_the_widest_that_fits() -> None:
    knife = drop_point()
    with pytest.raises(PlacingError) as caught:
        add_fasteners(knife, pins("1/2"), count=1)
    widest = caught.value.limit
    assert widest is not None
    own = [
        Drill(name=f"{d:.2f}", series="metric", diameter=d, source="a trial", confidence="high")
        for d in (widest - 0.01, widest + 0.01)
    ]
    assert add_fasteners(knife, pins(own[0]), count=1).fasteners
    with pytest.raises(PlacingError):
        add_fasteners(knife, pins(own[1]), count=1)


def test_fasteners_that_crowd_each_other() -> None:
    with pytest.raises(PlacingError) as caught:
        add_fasteners(ground(plain_tang(length=60.0)), pins("1/4"), count=9)
    assert_facts(caught.value, rule="web", value=6.35)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ({"count": 0}, "fasteners: count | 1"),
        ({"count": 2.5}, "fasteners: count | 1"),
        ({"count": math.nan}, "fasteners: count | 1"),
        ({"count": math.inf}, "fasteners: count | 1"),
        ({"front": -1.0}, "fasteners: front | 0"),
        ({"rear": math.nan}, "fasteners: rear | 0"),
        ({"made": "punched"}, "fastener: made | 'drilled'"),
    ],
)
def test_fasteners_refuse(arguments: dict[str, Any], told: str) -> None:
    with pytest.raises(ParameterError) as caught:
        add_fasteners(drop_point(), pins("1/4"), **{"count": 2, **arguments})
    assert_refused(caught.value, told)


@pytest.mark.parametrize("arguments", [{"rear": 500.0}, {"front": 118.0}, {"count": 1, "front": 118.0}])
def test_no_room_between_front_and_butt(arguments: dict[str, Any]) -> None:
    with pytest.raises(PlacingError) as caught:
        add_fasteners(drop_point(), pins("1/4"), **{"count": 2, **arguments})
    assert_facts(caught.value, rule="", value={"count": 2, **arguments}["count"])


def test_fasteners_that_the_process_cannot_cut() -> None:
    with pytest.raises(PlacingError) as caught:
        add_fasteners(drop_point(thickness=6.0), pins("1/16"), count=2, made="cut")
    assert_facts(caught.value, value=25.4 / 16, limit=3.0)
    assert_tells(str(caught.value), "waterjet", "made='drilled'")
    assert len(add_fasteners(drop_point(thickness=6.0), pins("1/16"), count=2).fasteners) == 2


def test_only_hardware_is_placed() -> None:
    with pytest.raises(ParameterError) as caught:
        add_fasteners(drop_point(), "1/4", count=2)  # type: ignore[arg-type]
    assert_refused(caught.value, "fasteners: hardware | Pin")


def test_the_hole_in_the_tang_is_the_hardware_s() -> None:
    # A rod of 1/4 in with its glue: the thinnest drill at least 0.05 mm wider, F of the letters, 0.257 in.
    (hole,) = add_fasteners(drop_point(), Pin(rod="304", diameter=6.35), count=1).openings
    assert hole.diameter == pytest.approx(0.257 * 25.4)
    # A lanyard's tube makes a lanyard's hole.
    tube = Tube(metal="304", outside=6.35, inside=4.8)
    (hole,) = add_fasteners(drop_point(), tube, count=1).openings
    assert hole.diameter == pytest.approx(0.257 * 25.4)
    assert hole.purpose == "lanyard"


def test_edge_distance_of_a_screw_s_hole() -> None:
    # Source: EN 1993-1-8 Table 3.3: 1.2 d0 is 5.4 mm for an M4 in 4.5 mm; a tang 10.8 mm high just holds it, one of
    # 10.7 mm does not.
    hole = Drill(name="4.5 mm", series="metric", diameter=4.5, source="for M4", confidence="high")
    only = rules(edge_distance_per_diameter=1.2)
    for high, fits in ((10.83, True), (10.7, False)):
        knife = ground(bar_outline(height=high), height=5.0, rules=only)
        if fits:
            (placed,) = add_fasteners(knife, pins(hole), count=1).fasteners
            assert placed.y == pytest.approx(-high / 2)
        else:
            with pytest.raises(PlacingError) as caught:
                add_fasteners(knife, pins(hole), count=1)
            assert_facts(caught.value, rule="edge", limit=4.45)


def test_front_counts_from_the_leaning_handle_front() -> None:
    knife = drop_point(front_lean_deg=25.0)
    (hole,) = add_fasteners(knife, pins("1/8"), count=1, front=25.0).fasteners
    # Half a millimetre is the step of the places.
    assert knife.handle_front_middle[0] - hole.x == pytest.approx(25.0, abs=0.5)


@pytest.mark.parametrize("count", [241, 10**9])
def test_no_more_fasteners_than_places(count: int) -> None:
    # Places are half a millimetre apart: 240 on 120 mm. Nothing is laid out for a number beyond that.
    with pytest.raises(PlacingError) as caught:
        add_fasteners(ground(plain_tang(length=120.0)), Pin(rod="304", diameter=5.0), count=count)
    assert_facts(caught.value, value=count, rule="")

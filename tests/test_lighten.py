"""Placing by search: never illegal, near the best known, never worse than a plain fill, and true to a wanted target."""

from __future__ import annotations

import csv
import dataclasses
import math
from collections.abc import Callable
from functools import cache
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from draws import draws, quick, quick_rows
from hypothesis import HealthCheck, given
from hypothesis import strategies as st
from placed import broken
from refusals import assert_facts, assert_tells
from specimens import bar_outline, drop_point, ground, pins, plain_tang
from strategies import tangs
from tangs import TANGS, knife_of

from bladegeom import (
    Hole,
    HoleRules,
    Knife,
    Shop,
    add_fasteners,
    add_lightening,
    add_lightening_row,
    add_lightening_slots,
    add_lightening_to,
    add_staggered_rows,
    check,
    drill,
    lightening_limits,
    weigh,
)
from bladegeom.knife.hole import Opening, Slot
from bladegeom.placing.lighten import plain_fill
from bladegeom.quantities.errors import ParameterError, PlacingError

REFERENCE = Path(__file__).parent / "reference_placing" / "reference.csv"

LEAST_SHARE = 0.98
"""Of the best that the stored reference knows."""

CODES = {"hole-outside", "rim", "edge-distance", "web", "holes-overlap", "clear-strip", "hole-too-small", "no-drill"}
CODES |= {"net-width"}


def area(knife: Knife) -> float:
    """Of all lightening holes, mm2; closed forms."""
    return sum(math.pi * hole.diameter**2 / 4 for hole in knife.holes if hole.purpose == "lightening")


@cache
def lightened(name: str) -> Knife:
    return add_lightening(knife_of(name), least_shift=0.0, least_mass=0.0)


@cache
def reference() -> dict[str, dict[str, str]]:
    with REFERENCE.open(encoding="utf-8", newline="") as file:
        return {row["tang"]: row for row in csv.DictReader(file)}


# The fixed set.

QUICK_TANGS = ("plain, few sizes", "waisted", "drop point")

every_tang = pytest.mark.parametrize("name", quick(TANGS, *QUICK_TANGS))


@every_tang
def test_near_the_best_known(name: str) -> None:
    # External: the reference's own search and HiGHS, run offline on the very same tang.
    row = reference()[name]
    assert knife_of(name).handle_region.area == pytest.approx(float(row["steel"]), abs=1e-3)
    assert area(lightened(name)) >= LEAST_SHARE * float(row["best"])


@every_tang
def test_no_less_than_a_plain_fill(name: str) -> None:
    assert area(lightened(name)) >= area(plain_fill(knife_of(name))) - 1e-9


@pytest.mark.parametrize("name", quick(["waisted", "chef"], "waisted"))
def test_every_hole_takes_out_no_less_than_those_worth_drilling(name: str) -> None:
    assert area(lightened(name)) >= area(add_lightening(knife_of(name))) - 1e-9


@every_tang
def test_the_fixed_set_is_legal(name: str) -> None:
    knife = lightened(name)
    assert broken(knife, knife.holes) == []
    assert [f.message for f in check(knife) if f.code in CODES] == []


def test_the_reference_holds_what_it_should() -> None:
    assert list(reference()) == list(TANGS)
    for row in reference().values():
        assert float(row["best"]) >= max(float(row["search"]), float(row["program"])) - 1e-3
        # The program's own bound, up to the solver's gap.
        assert float(row["program"]) <= float(row["bound"]) * (1 + 1e-6)


# Any tang, any rules.


@st.composite
def pinned(draw: st.DrawFn) -> Knife:
    """A tang with up to three fasteners, for lightening any sizes or those that the shop drills."""
    bare = draw(tangs())
    index = bare.shop.drills
    few = draw(st.lists(st.sampled_from(index), min_size=1, max_size=6, unique=True))
    sizes = draw(st.sampled_from([None, tuple(few)]))
    knife = dataclasses.replace(bare, shop=dataclasses.replace(bare.shop, lightening_sizes=sizes))
    try:
        return add_fasteners(knife, pins(index[len(index) // 3]), count=draw(st.integers(1, 3)))
    except PlacingError:
        return knife


WAYS: dict[str, Callable[..., Knife]] = {
    "most": lambda knife, **more: add_lightening(knife, least_mass=0.0, **more),
    "worth drilling": add_lightening,
    "staggered": add_staggered_rows,
    "one size": lambda knife, **more: add_staggered_rows(knife, graded=False, **more),
    "slots": add_lightening_slots,
    "target": lambda knife, **more: add_lightening_to(knife, mass=weigh(knife).total.amount - 2.0, **more),
}


@given(pinned(), st.sampled_from(list(WAYS)), st.sampled_from(["cut", "drilled"]), st.none() | st.floats(5.0, 12.0))
@draws(
    5,
    suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
)
def test_no_rule_is_ever_broken(knife: Knife, way: str, made: Any, largest: float | None) -> None:
    try:
        done = WAYS[way](knife, made=made, largest=largest)
    except PlacingError as error:
        # Whoever is refused is told a number.
        assert any(c.isdigit() for c in str(error))  # noqa: PT017
        return
    added = done.holes[len(knife.holes) :]
    assert added
    assert broken(done, added) == []
    assert largest is None or all(opening.diameter <= largest for opening in added)
    assert {opening.made for opening in added} == {made}
    # A drill index of its own for lightening is no matter of the check for drilled holes.
    codes = CODES - ({"no-drill"} if made == "drilled" else set())
    assert [f.message for f in check(done) if f.code in codes] == [f.message for f in check(knife) if f.code in codes]


def test_the_checker_sees_broken_rules() -> None:
    at = [(-5.0, -12.5, 4.0), (-40.0, -3.0, 3.0), (-60.0, -12.5, 13.2), (-73.0, -12.5, 10.0), (-90.0, 3.0, 0.5)]
    holes: tuple[Opening, ...] = (
        *(Hole(x=x, y=y, diameter=d, purpose="lightening") for x, y, d in at),
        Slot(start=(-30.0, -9.0), end=(-38.0, -14.0), diameter=9.0, purpose="lightening"),
    )
    told = " ".join(broken(ground(plain_tang(), holes=holes), holes))
    for word in ("strip", "rim", "edge distance", "web", "outside", "too small", "no drill", "net width"):
        assert word in told


def test_two_holes_on_one_line_are_too_much_together() -> None:
    # 25 mm high, half must stay: 6.3 and 6.3 on one upright line take 12.6. Source: plain arithmetic.
    holes = tuple(Hole(x=-50.0, y=y, diameter=6.3, purpose="lightening") for y in (-7.0, -18.0))
    knife = ground(plain_tang(), holes=holes)
    assert any("net width missed by 0.1" in line for line in broken(knife, holes))


# The same again, and what is worth drilling.


def test_the_same_input_gives_the_same_holes() -> None:
    again = add_lightening(dataclasses.replace(knife_of("drop point")), least_shift=0.0, least_mass=0.0)
    assert again.holes == lightened("drop point").holes


def test_every_hole_left_is_worth_drilling() -> None:
    knife = knife_of("plain, light")
    done = add_lightening(knife, least_shift=0.15, least_mass=0.6)
    now = weigh(done)
    for hole in done.holes:
        # External to the search: each is filled again and the knife weighed.
        filled = weigh(dataclasses.replace(done, holes=tuple(opening for opening in done.holes if opening is not hole)))
        mass = filled.total.amount - now.total.amount
        shift = abs(filled.balance_from_front - now.balance_from_front)
        assert mass >= 0.6 - 1e-6 or shift >= 0.15 - 1e-6
    assert 5 < len(done.holes) < len(lightened("plain, light").holes)


def test_nothing_worth_drilling() -> None:
    with pytest.raises(PlacingError, match=r"50 g .*by 30 mm"):
        add_lightening(knife_of("plain"), least_shift=30.0, least_mass=50.0)


# A wanted balance or mass.


@pytest.mark.parametrize(
    ("name", "share"),
    quick_rows(product(["plain, metric", "chef"], [0.2, 0.85]), ("plain, metric", 0.85), ("chef", 0.2)),
)
def test_a_wanted_balance(name: str, share: float) -> None:
    knife = knife_of(name)
    start, most = weigh(knife).balance_from_front, weigh(lightened(name)).balance_from_front
    wanted = start + share * (most - start)
    done = add_lightening_to(knife, balance=wanted)
    reached = weigh(done).balance_from_front
    # One hole alone may have no other place: then it is a drill's step past.
    assert wanted - 0.02 <= reached <= wanted + (0.05 if len(done.holes) > 1 else 0.15)
    assert broken(done, done.holes) == []
    # No hole can be left out.
    for i in range(len(done.holes)):
        less = dataclasses.replace(done, holes=done.holes[:i] + done.holes[i + 1 :])
        assert weigh(less).balance_from_front < wanted


def test_a_wanted_balance_under_a_taper() -> None:
    tapered = dataclasses.replace(knife_of("plain").stock, taper=((-110.0, 2.0), (-10.0, 4.0), (100.0, 4.0)))
    knife = dataclasses.replace(knife_of("plain"), stock=tapered)
    wanted = weigh(knife).balance_from_front + 1.5
    assert weigh(add_lightening_to(knife, balance=wanted)).balance_from_front == pytest.approx(wanted, abs=0.05)


def test_a_balance_towards_the_butt() -> None:
    # The knife balances in its tang: holes ahead of the wanted point move it to the rear.
    knife = knife_of("plain, light")
    wanted = weigh(knife).balance_from_front - 0.3
    done = add_lightening_to(knife, balance=wanted)
    assert wanted - 0.05 <= weigh(done).balance_from_front <= wanted + 0.02
    assert all(hole.x > wanted for hole in done.holes)


def test_a_wanted_mass() -> None:
    knife = knife_of("drop point")
    wanted = weigh(knife).total.amount - 7.0
    done = add_lightening_to(knife, mass=wanted)
    assert wanted - 0.1 <= weigh(done).total.amount <= wanted + 0.02
    fewest = math.ceil(7.0 / max(weigh(knife).total.amount - weigh(_one(knife, h)).total.amount for h in done.holes))
    assert fewest <= len(done.holes) <= fewest + 1


def test_no_hole_too_many_for_a_balance() -> None:
    # 9 do; a search that stopped at the first count that it missed needed 10.
    done = add_lightening_to(knife_of("plain, metric"), balance=-26.676456968831765)
    assert len(done.holes) <= 9
    assert weigh(done).balance_from_front >= -26.676456968831765 - 0.02


@pytest.mark.parametrize(
    ("name", "balance", "holes", "grams"),
    [
        ("petty", 3.02199, 4, 3.2),
        pytest.param("drop point, short", -2.32788, 8, 20.0, marks=pytest.mark.long),
    ],
)
def test_fewer_holes_where_each_brings_more(name: str, balance: float, holes: int, grams: float) -> None:
    # A search that put the largest first needed one hole more, and 3.53 g and 20.46 g of steel.
    knife = knife_of(name)
    done = add_lightening_to(knife, balance=balance)
    assert len(done.holes) <= holes
    assert weigh(knife).total.amount - weigh(done).total.amount < grams
    assert weigh(done).balance_from_front >= balance - 0.02
    assert broken(done, done.holes) == []


def _one(knife: Knife, hole: Opening) -> Knife:
    return dataclasses.replace(knife, holes=(hole,))


def test_few_holes_by_exhaustive_search() -> None:
    # One size and a bare tang 60 mm long: 8 mm holes, 4 mm webs and rims. The farthest centre is at -60 + 9.6 (1.2
    # diameters), the next 12 mm ahead; two side by side would take 16 of 25 mm. Source: plain arithmetic.
    knife = ground(plain_tang(length=60.0), shop=Shop(lightening_sizes=(drill("5/16"),)))
    start, d = weigh(knife), drill("5/16").diameter
    one_gram = start.knife.stock.material.density_g_cm3 * 4.0 * math.pi * d * d / 4 * 1e-3
    for count in (1, 2, 3):
        at = [-60.0 + 1.2 * d + i * (d + 4.0) for i in range(count)]
        mass, balance = start.total.amount, start.total.centre[0]
        ideal = (mass * balance - one_gram * sum(at)) / (mass - count * one_gram)
        done = add_lightening_to(knife, balance=ideal - 0.1)
        assert len(done.holes) == count
        assert len(add_lightening_to(knife, balance=ideal + 0.1).holes) > count


def test_a_target_that_is_reached_already() -> None:
    knife = knife_of("plain")
    assert add_lightening_to(knife, balance=weigh(knife).balance_from_front) == knife
    assert add_lightening_to(knife, mass=weigh(knife).total.amount) == knife


@pytest.mark.long
def test_a_balance_out_of_reach() -> None:
    knife = knife_of("plain")
    with pytest.raises(PlacingError) as caught:
        add_lightening_to(knife, balance=-10.0)
    text = str(caught.value)
    assert text.startswith("no legal set of lightening holes found brings the balance to 10.00 mm (0.394 in) behind")
    closest = -float(text.split("the closest is ")[1].split(" mm", maxsplit=1)[0])
    # As far as the whole tang's most goes, or a little farther: the search weighs rear holes more.
    most = weigh(lightened("plain")).balance_from_front
    assert most - 0.1 <= closest < most + 1.0
    assert "One more hole of " in text
    reached = add_lightening_to(knife, balance=closest - 0.05)
    assert weigh(reached).balance_from_front == pytest.approx(closest, abs=0.1)


@pytest.mark.long
def test_the_closest_balance_does_not_hang_on_how_far_the_target_is() -> None:
    told = []
    for far in (-10.0, 90.0):
        with pytest.raises(PlacingError) as caught:
            add_lightening_to(knife_of("plain"), balance=far)
        told.append(str(caught.value).partition(": the closest is ")[2])
    assert told[0] == told[1] != ""


def test_a_mass_out_of_reach() -> None:
    knife = knife_of("plain")
    with pytest.raises(PlacingError) as caught:
        add_lightening_to(knife, mass=50.0)
    assert_facts(caught.value, value=50.0)
    reached = caught.value.limit
    assert reached is not None
    assert 110.0 < reached < 120.0
    with pytest.raises(PlacingError) as caught:
        add_lightening_to(knife, mass=200.0)
    assert_facts(caught.value, limit=200.0)
    assert caught.value.value == pytest.approx(130.9, abs=0.05)


@pytest.mark.parametrize("wanted", [{}, {"balance": 1.0, "mass": 100.0}])
def test_one_target_at_a_time(wanted: dict[str, Any]) -> None:
    with pytest.raises(ParameterError, match="lightening holes: goal"):
        add_lightening_to(drop_point(), **wanted)


# Rules that leave nothing.

NOTHING: list[tuple[dict[str, Any], str, str]] = [
    ({"clear_strip": 130.0}, "strip", "130.00 mm"),
    ({"rim": 13.0}, "rim", "13.00 mm"),
    ({"edge_distance_per_diameter": 9.0}, "edge", "mm"),
    ({"net_width": 0.95}, "width", "95%"),
    ({"web": 60.0}, "web", "60.00 mm"),
]


@pytest.mark.parametrize(("changed", "rule", "asked"), NOTHING)
@pytest.mark.parametrize("way", ["most", "slots", "target"])
def test_rules_that_leave_nothing(changed: dict[str, Any], rule: str, asked: str, way: str) -> None:
    knife = dataclasses.replace(knife_of("plain"), rules=HoleRules(name="contrary", **changed))
    with pytest.raises(PlacingError) as caught:
        WAYS[way](knife)
    assert_facts(caught.value, rule=rule)
    assert_tells(str(caught.value), asked)


def test_no_room_for_two_rows() -> None:
    knife = ground(bar_outline(height=12.0), height=6.0)
    with pytest.raises(PlacingError) as caught:
        add_staggered_rows(knife)
    assert_facts(caught.value, value=2.381)


@pytest.mark.parametrize("way", WAYS)
def test_no_usable_size(way: str) -> None:
    small = dataclasses.replace(knife_of("plain"), shop=Shop(lightening_sizes=(drill("1/16"),)))
    with pytest.raises(PlacingError) as caught:
        WAYS[way](small)
    assert_facts(caught.value, value=None, limit=2.0)
    with pytest.raises(PlacingError) as caught:
        WAYS[way](knife_of("plain"), largest=1.5)
    assert_facts(caught.value, value=1.5, limit=2.0)
    with pytest.raises(ParameterError) as refused:
        WAYS[way](knife_of("plain"), largest=math.nan)
    assert (refused.value.part, refused.value.field) == ("lightening holes", "largest")


WRONG = [None, "knife", 3, weigh]


@pytest.mark.parametrize("wrong", WRONG)
@pytest.mark.parametrize(
    "use",
    [
        add_lightening,
        add_lightening_row,
        add_lightening_slots,
        add_staggered_rows,
        lambda knife: add_lightening_to(knife, mass=100.0),
        lambda knife: add_fasteners(knife, pins("1/4"), count=2),
        lightening_limits,
    ],
)
def test_what_is_no_knife_is_told_so(use: Callable[[Any], object], wrong: object) -> None:
    with pytest.raises(ParameterError) as caught:
        use(wrong)
    assert caught.value.field == "knife"


def test_sizes_that_are_too_few() -> None:
    knife = knife_of("plain")
    with pytest.raises(PlacingError) as caught:
        add_lightening(dataclasses.replace(knife, shop=Shop(lightening_sizes=())))
    assert_facts(caught.value, value=None)
    with pytest.raises(PlacingError) as caught:
        add_lightening(knife, largest=2.01)
    assert_facts(caught.value, value=2.01, limit=2.0)
    with pytest.raises(PlacingError) as caught:
        add_lightening(knife, largest=0.1, made="drilled")
    assert_facts(caught.value, value=0.1)


def test_a_hole_under_a_bend_of_the_taper_takes_out_less_than_its_centre_tells() -> None:
    # One size, and stock that thins both ways from where the first hole stands: two cones are off the slab of the
    # centre's thickness under a hole, s r 4 / (3 pi) deep at slope s. Source: mean distance in a disc from a diameter.
    wide = dataclasses.replace(drill("1/2"), diameter=12.0)
    rules = HoleRules(name="near", edge_distance_per_diameter=1.0)
    knife = ground(plain_tang(length=120.0), shop=Shop(lightening_sizes=(wide,)), rules=rules)
    taper = ((-120.0, 2.0), (-60.0, 4.0), (-59.0, 4.0), (0.0, 2.0))
    bent = dataclasses.replace(knife, stock=dataclasses.replace(knife.stock, taper=taper))
    # At its thickest one hole seems to take out pi 6^2 4 = 3.55 g of steel and takes out 0.07 less: two must do it.
    wanted = weigh(bent).total.amount - 3.52
    done = add_lightening_to(bent, mass=wanted)
    assert len(done.holes) == 2
    assert weigh(done).total.amount <= wanted + 0.02

"""What moves the balance: each change against a closed form, and all of them against plain weighing."""

from __future__ import annotations

import dataclasses
import math
import re
from collections import Counter
from collections.abc import Callable, Iterable
from itertools import product
from pathlib import Path
from typing import Any

import any_knives
import pytest
from draws import draws, quick, quick_rows
from fastened import CONTOURED, FLAT, LINED, PIN, TAPER, at, bar, knives, mixed
from handles import BOLT, handle
from hypothesis import given, reject
from hypothesis import strategies as st
from refusals import assert_refused
from specimens import bar_outline, chef, drop_point, ground, pins, plain_tang, tang_outline

from bladegeom.balance.sensitivities import variants, what_moves_balance, what_moves_balance_quickly
from bladegeom.balance.sensitivity import Sensitivity
from bladegeom.design.script import load_script
from bladegeom.fasteners.pin import Pin
from bladegeom.findings.check import check
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.bevels.flat import FlatBevel, FullFlat
from bladegeom.knife.bevels.round import ConvexBevel, ConvexEdge, HollowBevel
from bladegeom.knife.grind import Grind, Plunge
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import Shop
from bladegeom.knife.scales import Liner, Scales
from bladegeom.knife.stock import Stock
from bladegeom.mass.weigh import Weighing, weigh
from bladegeom.outline.outline import join_halves
from bladegeom.placing.place import add_fasteners, add_lightening_row
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled
from bladegeom.quantities.drills import drill
from bladegeom.quantities.errors import BladegeomError, ParameterError
from bladegeom.quantities.materials import material

EXAMPLES = Path(__file__).parents[1] / "examples"

LIGHT = Hole(x=-50.0, y=-15.0, diameter=10.0, purpose="lightening")


def tried(knife: Knife) -> tuple[Sensitivity, ...]:
    """All but the patterns of holes that take a search."""
    return what_moves_balance_quickly(weigh(knife))


def only(found: Iterable[Sensitivity], name: str, change: str = "") -> Sensitivity:
    """The only change of a name whose change holds some words."""
    (sensitivity,) = (sensitivity for sensitivity in found if sensitivity.name == name and change in sensitivity.change)
    return sensitivity


def one(knife: Knife, name: str, change: str = "") -> Sensitivity:
    """The only lever of a design by that name."""
    return only(tried(knife), name, change)


def shift(sensitivity: Sensitivity) -> tuple[float, float]:
    """By how much mass and balance move."""
    assert sensitivity.mass_shift is not None
    assert sensitivity.balance_shift is not None
    return sensitivity.mass_shift, sensitivity.balance_shift


def flat_bar(**more: Any) -> Knife:
    """A bar of 300 x 30 x 4 mm from x = -100 to 200, of which hardly anything is ground off."""
    return ground(bar_outline(), plunge=199.0, height=1e-3, **more)


def moved(mass: float, balance: float, added: float, x: float) -> float:
    """How far a balance point moves when a mass is put on at x; taken off, it is negative. Source: statics."""
    return added * (x - balance) / (mass + added)


# Closed forms.


def test_a_hole() -> None:
    knife = flat_bar(holes=(LIGHT,))
    sensitivity, weighed = one(knife, "lightening holes", "none"), weigh(knife)
    density = knife.stock.material.density_g_cm3 / 1000
    out = math.pi * 25 * 4 * density
    assert out == pytest.approx(2.47, abs=0.01)
    filled = 300 * 30 * 4 * density
    assert sensitivity.mass == pytest.approx(filled, rel=1e-5)
    assert sensitivity.balance == pytest.approx(50.0, abs=0.01)
    # Removing m at x moves the balance by m (balance - x) / (M - m).
    mass, balance = shift(sensitivity)
    assert mass == pytest.approx(out)
    assert -balance == pytest.approx(out * (50.0 - -50.0) / (filled - out), rel=1e-4)
    assert weighed.balance_from_front - 50.0 == pytest.approx(-balance, abs=0.01)


def test_a_denser_slab() -> None:
    # Flat scales fill 100 x 30 x 8 mm on each side; their middle is that of the tang.
    knife = flat_bar(scales=Scales(slab="Juglans nigra", thickness=8.0))
    weighed = weigh(knife)
    light = material("Juglans nigra").density_g_cm3
    for slab in ("G-10", "NEMA C", "Handroanthus sp."):
        added = 2 * 100 * 30 * 8 * (material(slab).density_g_cm3 - light) / 1000
        mass, balance = shift(one(knife, "scale material", slab))
        assert mass == pytest.approx(added)
        assert balance == pytest.approx(moved(weighed.total.amount, weighed.balance_from_front, added, -50.0))
        assert balance < 0 < mass


@pytest.mark.parametrize("thickness", [3.2, 4.0])
def test_a_tapered_tang(thickness: float) -> None:
    # A wedge of half the bar at the butt, 100 mm long and 30 mm high; its middle lies at a third from the butt.
    knife = flat_bar(thickness=thickness)
    sensitivity, weighed = one(knife, "tang taper"), weigh(knife)
    out = 100 * 30 * thickness / 2 / 2 * knife.stock.material.density_g_cm3 / 1000
    mass, balance = shift(sensitivity)
    assert mass == pytest.approx(-out)
    assert balance == pytest.approx(moved(weighed.total.amount, weighed.balance_from_front, -out, -200 / 3))
    assert balance > 0
    assert sensitivity.knife is not None
    assert sensitivity.knife.stock.taper == ((-100.0, thickness / 2), (0.0, thickness))


def test_the_bar() -> None:
    knife = flat_bar()
    per_mm = 300 * 30 * knife.stock.material.density_g_cm3 / 1000
    for words, step in (("thinner", -0.5), ("thicker", 0.5)):
        sensitivity = one(knife, "stock thickness", words)
        assert shift(sensitivity) == pytest.approx((step * per_mm, 0.0), abs=1e-4)
        assert sensitivity.change.startswith(f"{4 + step:.2f} mm")


def test_a_higher_bevel() -> None:
    # Each side loses a wedge (T - e) / 2 thick at the edge, 200 mm long and as high as the bevel.
    knife = ground(bar_outline(), plunge=0.0)
    weighed, density = weigh(knife), knife.stock.material.density_g_cm3 / 1000
    for words, step in (("higher", 2.0), ("lower", -2.0)):
        out = 200 * step * (4.0 - 0.5) / 2 * density
        sensitivity = one(knife, "bevel height", words)
        mass, balance = shift(sensitivity)
        assert mass == pytest.approx(-out, rel=1e-4)
        wanted = moved(weighed.total.amount, weighed.balance_from_front, -out, 100.0)
        assert balance == pytest.approx(wanted, rel=1e-3)
        assert sensitivity.change.startswith(f"{18 + step:.2f} mm")


def test_metal_of_a_pin() -> None:
    rod = pins("1/4", rod="304")
    knife = add_fasteners(flat_bar(scales=FLAT), rod, count=2)
    weighed = weigh(knife)
    x = sum(fastener.x for fastener in knife.fasteners) / 2
    volume = 2 * math.pi * (rod.diameter / 2) ** 2 * (4 + 2 * FLAT.thickness)
    for metal in ("6061", "C36000"):
        added = volume * (material(metal).density_g_cm3 - material("304").density_g_cm3) / 1000
        mass, balance = shift(one(knife, "hardware", metal))
        assert mass == pytest.approx(added)
        assert balance == pytest.approx(moved(weighed.total.amount, weighed.balance_from_front, added, x))
    assert not [sensitivity for sensitivity in tried(knife) if sensitivity.change.startswith("all of 304")]


def test_liners() -> None:
    knife = flat_bar(scales=LINED)
    area = 100 * 30 / 1000
    off = sum(2 * area * liner.thickness * liner.material.density_g_cm3 for liner in LINED.liners)
    assert shift(one(knife, "liners", "none"))[0] == pytest.approx(-off)
    last = LINED.liners[-1]
    more = one(knife, "liners", "one more")
    assert shift(more)[0] == pytest.approx(2 * area * last.thickness * last.material.density_g_cm3)
    assert last.material.name in more.change
    first = one(flat_bar(scales=FLAT), "liners", "one more")
    assert first.knife is not None
    assert first.knife.scales is not None
    assert first.knife.scales.liners == (Liner(sheet="G-10", thickness=0.8),)


# The changed designs.


def test_blade_length_is_that_of_the_profile() -> None:
    blade = DropPoint(blade_length=105.0)
    knife = ground(join_halves(blade, Swelled()), height=16.0, holes=(LIGHT,))
    for words, long in (("longer", 115.0), ("shorter", 95.0)):
        sensitivity = one(knife, "blade length", words)
        anew = ground(join_halves(DropPoint(blade_length=long), Swelled()), height=16.0, holes=(LIGHT,))
        assert sensitivity.knife == anew
        assert sensitivity.balance == pytest.approx(weigh(anew).balance_from_front)


@dataclasses.dataclass(frozen=True)
class Otherwise:
    """A blade half whose length has another name."""

    long: float = 110.0

    def joint(self) -> Any:
        return DropPoint().joint()

    def blade(self) -> Any:
        return DropPoint(blade_length=self.long).blade()


@dataclasses.dataclass
class Changing:
    """The same, and not frozen."""

    long: float = 110.0
    joint, blade = Otherwise.joint, Otherwise.blade


@pytest.mark.parametrize("outline", [bar_outline(), plain_tang(), join_halves(Otherwise(), Swelled())])
def test_without_such_a_profile_there_is_no_such_lever(outline: Any) -> None:
    assert "blade length" not in {variant.name for variant in variants(ground(outline))}


def grind(*faces: Face) -> Grind:
    return Grind(bevel=faces, plunge=Plunge(x=9.5))


HOLLOW = HollowBevel(wheel_diameter=254.0, height=17.0, edge_thickness=0.6)
FLAT_FACE = FlatBevel(height=17.0, edge_thickness=0.6)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ((FLAT_FACE,), (dataclasses.replace(FLAT_FACE, height=19.0),)),
        ((HOLLOW,), (dataclasses.replace(HOLLOW, height=19.0),)),
        (
            (ConvexBevel(height=17.0, edge_thickness=0.6, bulge=0.2),),
            (ConvexBevel(height=19.0, edge_thickness=0.6, bulge=0.2),),
        ),
        (
            (FLAT_FACE, FlatBevel(height=5.0, edge_thickness=0.3)),
            (dataclasses.replace(FLAT_FACE, height=19.0), FlatBevel(height=5.0, edge_thickness=0.3)),
        ),
        (
            (ConvexEdge(under=FLAT_FACE, height=4.0, edge_thickness=0.3, bulge=0.02),),
            (
                ConvexEdge(
                    under=dataclasses.replace(FLAT_FACE, height=19.0), height=4.0, edge_thickness=0.3, bulge=0.02
                ),
            ),
        ),
    ],
)
def test_the_highest_face_is_changed_and_what_lies_under_it(before: tuple[Face, ...], after: tuple[Face, ...]) -> None:
    knife = dataclasses.replace(drop_point(), grind=grind(*before))
    sensitivity = one(knife, "bevel height", "higher")
    assert sensitivity.knife == dataclasses.replace(knife, grind=grind(*after))


def test_faces_without_a_height_have_no_such_lever() -> None:
    knife = dataclasses.replace(drop_point(), grind=grind(FullFlat(edge_thickness=0.4)))
    assert "bevel height" not in {sensitivity.name for sensitivity in tried(knife)}


def test_a_taper_ahead_of_the_handle_stays() -> None:
    knife = flat_bar()
    knife = dataclasses.replace(knife, stock=Stock(steel="1084", thickness=4.0, taper=((20.0, 4.0), (200.0, 2.0))))
    sensitivity = one(knife, "tang taper")
    assert sensitivity.knife is not None
    assert sensitivity.knife.stock.taper == ((-100.0, 2.0), (0.0, 4.0), (20.0, 4.0), (200.0, 2.0))
    for words, thick in (("thinner", 3.5), ("thicker", 4.5)):
        other = one(knife, "stock thickness", words).knife
        assert other is not None
        assert other.stock.taper == ((20.0, thick), (200.0, 2.0))


def test_a_tapered_tang_may_be_left_thick() -> None:
    knife = flat_bar()
    knife = dataclasses.replace(knife, stock=Stock(steel="1084", thickness=4.0, taper=((-100.0, 2.0), (0.0, 4.0))))
    sensitivity = one(knife, "tang taper")
    assert sensitivity.change.startswith("none")
    assert sensitivity.knife == flat_bar()
    part = dataclasses.replace(knife, stock=Stock(steel="1084", thickness=4.0, taper=((-100.0, 3.0), (0.0, 4.0))))
    assert [variant.change[:4] for variant in variants(part) if variant.name == "tang taper"] == ["from", "none"]


def test_nothing_is_listed_that_is_so_already() -> None:
    knife = add_lightening_row(add_fasteners(drop_point(scales=Scales(slab="G-10", thickness=8.0)), PIN, count=2))
    changes = {(sensitivity.name, sensitivity.change) for sensitivity in tried(knife)}
    assert ("scale material", "G-10 (glass-epoxy)") not in changes
    assert ("liners", "none") not in changes
    assert ("lightening holes", "a graded row along the mid line") not in changes
    assert ("lightening holes", "none") in changes
    assert all(sensitivity.knife != knife for sensitivity in tried(knife))


def test_patterns_take_the_place_of_what_is_declared_and_spare_the_rest() -> None:
    lanyard = Hole(x=-95.0, y=-15.0, diameter=5.0, purpose="lanyard")
    knife = flat_bar(holes=(LIGHT, lanyard))
    none, row = (one(knife, "lightening holes", words).knife for words in ("none", "graded row"))
    assert none is not None
    assert row is not None
    assert none.holes == (lanyard,)
    assert row.holes[0] == lanyard
    assert LIGHT not in row.holes
    assert row == add_lightening_row(none)


# What cannot be built, and what brings errors.


def test_a_change_that_cannot_be_built_stands_last_with_its_reason() -> None:
    thin = ground(bar_outline(), thickness=0.5, edge=0.1)
    last = tried(thin)[-1]
    assert (last.name, last.knife, last.mass, last.balance) == ("stock thickness", None, None, None)
    assert (last.mass_shift, last.balance_shift) == (None, None)
    assert "it must be more than 0 mm" in last.refused
    assert "0.50 mm (0.020 in) thinner" in last.change
    assert all(not sensitivity.refused for sensitivity in tried(thin)[:-1])


def test_no_size_and_no_room_for_holes() -> None:
    no_size = flat_bar(shop=Shop(lightening_sizes=(drill("#60"),)))
    for words in ("graded row", "as much", "staggered", "slots"):
        assert "no size" in only(what_moves_balance(weigh(no_size)), "lightening holes", words).refused
    narrow = ground(tang_outline([(-110.0, 0.0), (-110.0, -7.0)], [(-110.0, -7.5), (-2.0, -7.5)]), height=14.0)
    for words in ("graded row", "as much", "staggered", "slots"):
        assert re.search(
            "no legal place|no room", only(what_moves_balance(weigh(narrow)), "lightening holes", words).refused
        )


def test_a_thicker_bar_may_break_a_web() -> None:
    # 4 mm apart in a bar 4 mm thick, whose webs are as wide as the bar is thick.
    knife = bar(holes=(LIGHT, dataclasses.replace(LIGHT, x=-36.0)))
    assert not [finding for finding in check(knife) if finding.severity == "error"]
    thicker, thinner = (one(knife, "stock thickness", words) for words in ("thicker", "thinner"))
    assert (thicker.brings, thinner.brings) == (("web",), ())
    assert thicker.words.endswith("(brings errors: web)")
    assert thicker.knife is not None
    assert {finding.code for finding in check(thicker.knife) if finding.severity == "error"} == {"web"}


def test_errors_that_were_there_are_not_brought() -> None:
    knife = bar(holes=(LIGHT, dataclasses.replace(LIGHT, x=-38.0)))
    assert {finding.code for finding in check(knife) if finding.severity == "error"} == {"web"}
    assert one(knife, "stock thickness", "thicker").brings == ()


def test_a_bolt_of_soft_metal_may_hold_too_little_thread() -> None:
    # #8 is 4.17 mm: in steel one diameter is to be held, in aluminium one and a half, 6.2 mm. The stud is 5 mm long.
    knife = handle(dataclasses.replace(BOLT, shoulder_length=8.7))
    assert not [finding for finding in check(knife) if finding.severity == "error"]
    aluminium, brass = (one(knife, "hardware", metal) for metal in ("6061", "C36000"))
    assert (aluminium.brings, brass.brings) == (("engagement",), ())


@pytest.mark.parametrize("name", quick(["rigging_knife", "kindling_knife"], "rigging_knife"))
def test_errors_told_are_those_of_the_whole_check(name: str) -> None:
    knife, _ = load_script(EXAMPLES / f"{name}.py").knife()
    knife = dataclasses.replace(knife, hand_breadth=None, zones=())
    before = Counter(finding.code for finding in check(knife) if finding.severity == "error")
    told = False
    for sensitivity in what_moves_balance(weigh(knife)):
        assert sensitivity.knife is not None
        after = Counter(finding.code for finding in check(sensitivity.knife) if finding.severity == "error")
        assert set(sensitivity.brings) == set(after - before), sensitivity.words
        told |= bool(sensitivity.brings)
    assert told


# All of them.

DESIGNS = {
    "mixed": mixed(),
    "flat": bar(at(-30.0, PIN), scales=FLAT, holes=(LIGHT,)),
    "tapered": bar(at(-30.0, PIN), scales=CONTOURED, taper=TAPER, holes=(LIGHT,)),
    "bare": bar(scales=None, holes=(LIGHT,)),
    "drop point": add_lightening_row(drop_point(front_lean_deg=10.0), largest=6.0),
    "chef": add_fasteners(chef(scales=FLAT, front_bow=2.0), Pin(rod="304", diameter=4.0), count=3),
}


every_design = pytest.mark.parametrize(
    ("name", "found"),
    quick_rows(
        product(DESIGNS, (what_moves_balance_quickly, what_moves_balance)),
        *((name, what_moves_balance_quickly) for name in ("mixed", "tapered", "bare")),
    ),
)


def assert_weighed(knife: Knife, found: Callable[[Weighing], tuple[Sensitivity, ...]]) -> None:
    """Every change's numbers are to the last bit those of its design weighed anew, none of it taken over."""
    base = weigh(dataclasses.replace(knife))
    for sensitivity in found(weigh(knife)):
        if sensitivity.knife is None:
            assert sensitivity.refused
            continue
        anew = weigh(dataclasses.replace(sensitivity.knife))
        assert (sensitivity.mass, sensitivity.balance) == (anew.total.amount, anew.balance_from_front)
        was = base.total.amount, base.balance_from_front
        assert shift(sensitivity) == (anew.total.amount - was[0], anew.balance_from_front - was[1])


@every_design
def test_numbers_are_those_of_plain_weighing(name: str, found: Callable[[Weighing], tuple[Sensitivity, ...]]) -> None:
    assert_weighed(DESIGNS[name], found)


@pytest.mark.long
@draws(5)
@given(knives())
def test_numbers_are_those_of_plain_weighing_on_any_knife(knife: Knife) -> None:
    assert_weighed(knife, what_moves_balance)


@draws(20)
@given(st.data())
def test_what_is_taken_over_is_what_plain_weighing_tells_of_any_profile(data: st.DataObject) -> None:
    try:
        knife = data.draw(any_knives.knives())
    except BladegeomError:
        reject()
    assert_weighed(knife, what_moves_balance_quickly)


@pytest.mark.parametrize("name", quick(DESIGNS, "flat"))
def test_the_strongest_comes_first_and_none_is_lost(name: str) -> None:
    knife = DESIGNS[name]
    found = what_moves_balance(weigh(knife))
    shifts = [abs(sensitivity.balance_shift) for sensitivity in found if sensitivity.balance_shift is not None]
    assert shifts == sorted(shifts, reverse=True)
    listed = {(sensitivity.name, sensitivity.change) for sensitivity in found}
    assert len(listed) == len(found)
    lost = [variant for variant in variants(knife) if (variant.name, variant.change) not in listed]
    assert all(variant.make() == knife for variant in lost)
    assert found == what_moves_balance(weigh(dataclasses.replace(knife)))


def test_the_quick_ones_are_the_same_without_the_patterns_that_take_a_search() -> None:
    weighing = weigh(DESIGNS["flat"])
    searched = {"as much out as the rules allow", "two staggered rows", "slots"}
    quick = what_moves_balance_quickly(weighing)
    assert quick == tuple(
        sensitivity for sensitivity in what_moves_balance(weighing) if sensitivity.change not in searched
    )
    assert len(quick) == len(what_moves_balance(weighing)) - 3


def test_a_profile_without_a_hash_will_do() -> None:
    plain, other = (ground(join_halves(blade, Swelled()), height=16.0) for blade in (Otherwise(), Changing()))
    with pytest.raises(TypeError):
        hash(other)
    assert [sensitivity.balance for sensitivity in tried(plain)] == [
        sensitivity.balance for sensitivity in tried(other)
    ]


def test_the_kinds_of_levers() -> None:
    kinds = {sensitivity.name for sensitivity in tried(mixed(taper=()))}
    assert kinds == {
        "lightening holes",
        "tang taper",
        "stock thickness",
        "bevel height",
        "blade length",
        "scale material",
        "liners",
        "hardware",
    }
    assert {sensitivity.name for sensitivity in tried(DESIGNS["bare"])} == {
        "lightening holes",
        "tang taper",
        "stock thickness",
        "bevel height",
    }


def test_levers_are_those_of_a_weighing() -> None:
    with pytest.raises(ParameterError) as caught:
        what_moves_balance(drop_point())  # type: ignore[arg-type]
    assert_refused(caught.value, "what_moves_balance: weighing | weigh(knife)")

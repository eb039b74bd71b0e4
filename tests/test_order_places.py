"""What may be in two places: the order names one, or the customer is asked in the customer's words."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest
from orders import asked, changed, knife, met, order

from bladegeom import AddStep, Feature, Finish, Operation, check_order, join_halves, landings, route
from bladegeom.order.order_places import open_places, parts_said
from bladegeom.order.order_ways import TexturePlace
from bladegeom.order.ordered import finishes
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.stick_tang import StickTang

TEXTURE = Feature(what="texture")
CARVE = Finish(operation="carve_handle", finish="waves", place="handle")
STEPS = ("surface", "etch", "carve_handle")


def questions(text: str, *ways: Any) -> list[str]:
    return [place.question for place in open_places(order(asked(text=text, met=ways)), knife())]


def test_the_question_is_asked_in_the_customers_words() -> None:
    assert questions("Carved surface", TEXTURE) == ["Carved surface: on the blade? on the handle? on both?"]
    mark = Feature(what="mark", text="DECK 1")
    assert questions("my name on it", mark) == ["my name on it: on the right side? on the left side?"]
    etch = Finish(operation="etch", finish="dark")
    assert questions("dark steel", etch) == [
        "dark steel: on the blade alone? on the tang too, where it shows round the handle?"
    ]


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("carved on the blade", {"blade"}),
        ("a carved surface, on the blade AND on the handle", {"blade", "handle"}),
        ("blade and handle carved", {"blade", "handle"}),
        ("carved along both blade and grip", {"blade", "handle"}),
        ("on the blade only, not on the handle", {"blade"}),
        ("etch the tang too, and the blade", {"blade"}),
        ("carved like my old blade", set()),
        ("a light blade with a surface that grips", set()),
        ("Carved surface", set()),
    ],
)
def test_places_in_the_customers_words(text: str, parts: set[str]) -> None:
    assert parts_said(text) == parts


@pytest.mark.parametrize(
    ("ways", "count"),
    [
        ((Finish(operation="surface", finish="black, without a shine"),), 1),
        ((Finish(operation="blacken", finish="in hot oil"),), 1),
        ((Finish(operation="etch", finish="coffee"), Finish(operation="surface", finish="darkened")), 1),
        ((Finish(operation="surface", finish="black", place="blade"),), 0),
        ((Finish(operation="surface", finish="satin, lengthwise"),), 0),
        ((Finish(operation="mark", finish="etched through a stencil"),), 0),
        ((Finish(operation="contour", finish="dark oil"),), 0),
    ],
)
def test_steel_that_is_made_dark_is_asked_for_its_place_once(ways: tuple[Finish, ...], count: int) -> None:
    assert len(questions("darkened steel", *ways)) == count
    assert not questions("darkened steel, on the blade only", *ways)


def test_who_is_left_handed_has_named_no_side() -> None:
    assert questions("my initials, I am left-handed", Feature(what="mark", text="K.W."))
    assert not questions("my initials on the left", Feature(what="mark", text="K.W."))


def test_nothing_is_asked_where_the_place_is_told_or_nothing_is_wanted() -> None:
    assert not questions("carved", dataclasses.replace(TEXTURE, place="handle"))
    assert not questions("no pattern", dataclasses.replace(TEXTURE, absent=True))
    assert not questions("DECK 1 on the left", Feature(what="mark", text="DECK 1"))
    assert not list(open_places(met(TEXTURE, weight="open"), knife()))


def test_an_etch_on_a_tang_that_nobody_sees_is_no_question() -> None:
    hidden = changed(
        outline=join_halves(DropPoint(blade_length=110.0), StickTang()), scales=None, fasteners=(), holes=(), zones=()
    )
    wanted = met(Finish(operation="etch", finish="dark"))
    assert list(open_places(wanted, knife()))
    assert not list(open_places(wanted, hidden))


def test_a_step_of_the_route_carves_the_handle() -> None:
    places: tuple[TexturePlace, ...] = ("handle", "blade and handle")
    for place in places:
        both, text = dataclasses.replace(TEXTURE, place=place), f"texture on the {place}"
        found = landings(met(both, CARVE), knife(), STEPS)
        assert [(landing.state, landing.words) for landing in found] == [
            ("later", f"{text}: by the step carve_handle"),
            ("later", "step carve_handle: waves, on the handle"),
        ]
        assert check_order(met(both, CARVE), knife(), STEPS) == ()
        # A step that does nothing to the handle, or that is not there, is none.
        elsewhere = dataclasses.replace(CARVE, place="blade")
        assert landings(met(both, elsewhere), knife(), STEPS)[0].state == "missed"
        assert landings(met(both, CARVE), knife(), ("surface",))[0].state == "missed"
    # The blade's part of it must be there all the same.
    assert landings(met(both, CARVE), changed(zones=()), STEPS)[0].state == "missed"


def test_the_bench_is_told_the_place() -> None:
    wanted = met(Finish(operation="etch", finish="dark", place="blade and tang"))
    assert finishes(wanted, "etch") == ("dark, on the blade and tang (requirement 1)",)
    own = AddStep(operation=Operation(key="carve_handle", title="Carve the handle"), after="contour")
    (step,) = (made for made in route(knife(), met(CARVE), steps=(own,)).operations if made.key == "carve_handle")
    assert step.finish == "waves, on the handle (requirement 1)"


def test_two_places_exclude_nothing() -> None:
    away = Feature(what="texture", place="blade", absent=True)
    on_handle = dataclasses.replace(TEXTURE, place="handle")
    codes = {finding.code for finding in check_order(met(away, on_handle, CARVE), changed(zones=()), STEPS)}
    assert codes == set()
    here = Finish(operation="surface", finish="mirror", place="blade")
    there = Finish(operation="surface", finish="satin", place="tang")
    assert check_order(met(here, there), knife(), STEPS) == ()
    assert check_order(met(here, dataclasses.replace(there, place="blade")), knife(), STEPS) != ()

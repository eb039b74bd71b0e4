"""What the work settles, and what stands in looks and steps in words, beside the order, the design and its steel."""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from typing import Any

import pytest
from orders import asked, changed, knife, met, order
from quotes import plain_list, plank

from bladegeom import (
    AddStep,
    DropStep,
    Feature,
    Finish,
    HandCheck,
    Knife,
    Measured,
    Operation,
    Sheath,
    Work,
    check_order,
    join_halves,
    landings,
    measures,
    route,
)
from bladegeom.price.bill import Bill
from bladegeom.price.price_items import BarPrice
from bladegeom.price.quote import quote_run
from bladegeom.price.quote_text import quote_text
from bladegeom.price.quote_words import customers_copy
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.stick_tang import StickTang
from bladegeom.signoff.check_order import check_made
from bladegeom.signoff.job_card import card
from bladegeom.signoff.order_lines import is_complete, verdict
from bladegeom.studies.difference import knife_difference

STEPS = ("heat_treat", "temper", "surface", "mark", "sharpen")


def hidden() -> Knife:
    """A bare knife on a stick tang: its block is no part of the design."""
    outline = join_halves(DropPoint(blade_length=110.0), StickTang())
    return changed(outline=outline, scales=None, fasteners=(), holes=(), zones=())


def codes(wanted: Any, work: Work | None = None) -> list[tuple[str, str]]:
    return [
        (finding.code, finding.severity)
        for finding in check_order(wanted, knife(), STEPS, Work() if work is None else work)
    ]


@pytest.mark.parametrize(
    ("work", "operation", "finish", "clash"),
    [
        (Work(finish="satin, lengthwise"), "surface", "mirror polish", True),
        (Work(finish="satin, lengthwise"), "surface", "satin, grit 400", False),
        (Work(finish="satin, flats alone"), "surface", "mirror bevels", False),
        (Work(mark="etched through a stencil"), "mark", "engraved by hand", True),
        (Work(mark="electro-etched"), "mark", "etched, letter by letter", False),
        (Work(mark="etched"), "surface", "engraved with waves", False),
    ],
)
def test_work_in_another_way_than_the_order_wants(work: Work, operation: str, finish: str, *, clash: bool) -> None:
    wanted = met(Finish(operation=operation, finish=finish))
    assert codes(wanted, work) == ([("work-finish", "error")] if clash else [])


# The table of tempers of 1.4116 reaches from 55 to 56 HRC; the knife is sharpened to 18 degrees, its blade 110 mm.
@pytest.mark.parametrize(
    ("way", "asks"),
    [
        (HandCheck(look="tested: 60 HRC", signed="maker"), True),
        (Finish(operation="temper", finish="60 HRC at least"), True),
        (HandCheck(look="tested: 55 to 57 HRC", signed="maker"), False),
        (Finish(operation="sharpen", finish="25 degrees a side, stropped"), True),
        (Finish(operation="sharpen", finish="36 degrees inclusive, stropped"), False),
        (HandCheck(look="blade 8 in long", signed="maker"), True),
        (HandCheck(look="an 8-inch blade", signed="maker"), True),
        (HandCheck(look="blade 110 mm long", signed="maker"), False),
        (HandCheck(look="blade 30 mm high at the heel", signed="maker"), False),
        (HandCheck(look="spine eased 40 mm from the handle", signed="maker"), False),
    ],
    ids=str,
)
def test_numbers_that_are_left_to_a_look_and_cannot_be_had(way: Any, *, asks: bool) -> None:
    assert codes(met(way)) == ([("order-words", "warning")] if asks else [])


def test_a_dropped_sheath_is_not_complete() -> None:
    leather = Sheath(material="leather", side="right", belt=40, slot=43)
    look = HandCheck(look="the belt passes", signed="maker")
    wanted = order(asked(concerns="sheath", met=look), sheath=leather)
    made = route(knife(), wanted, steps=(DropStep(key="sheath"),))
    landed, found = landings(wanted, knife(), made.keys), check_made(made)
    assert not is_complete(landed, found)
    assert "route-step-dropped" in {finding.code for finding in found}
    assert card(made).parts[0].verdict == verdict(landed, found)
    assert card(made).parts[0].verdict.startswith("NOT COMPLETE")
    whole = route(knife(), wanted)
    assert is_complete(landings(wanted, knife(), whole.keys), check_made(whole))


def test_what_a_step_or_the_glue_brings_is_held_against_an_allergy() -> None:
    guard = AddStep(operation=Operation(key="guard", title="Fit the nickel silver guard"), after="surface")
    care = asked(concerns="care", met=HandCheck(look="read line by line", signed="maker"))
    for allergy, steps, told in (("nickel", (guard,), 1), ("nickel", (), 0), ("epoxy", (), 1)):
        made = route(knife(), order(care, allergies=(allergy,)), steps=steps)
        assert sum(finding.code == "work-allergy" for finding in check_made(made)) == told


def test_questions_stand_before_what_is_complete() -> None:
    wanted = order(asked(text="8 in to the tip", met=Measured(measure="blade length", nominal=110, tolerance=1)))
    told = verdict(landings(wanted, knife()), check_order(wanted, knife()))
    assert told.startswith("complete but for 1 question to settle: ")


@pytest.mark.parametrize("what", ["lanyard", "liners", "fasteners", "scales", "swell"])
def test_a_handle_that_is_not_designed_does_not_tell_what_it_lacks(what: str) -> None:
    wanted = met(Feature(what=what, absent=True))
    (landing,) = landings(wanted, hidden())
    assert (landing.state, landing.code) == ("missed", "order-feature")
    assert "handle block is no part of it" in landing.words
    bare = dataclasses.replace(knife(), scales=None, fasteners=(), holes=(), zones=())
    assert [each_landing.state for each_landing in landings(wanted, bare)] == ["met"]


@pytest.mark.parametrize("name", ["knuckle clearance", "handle girth", "handle height", "handle thickness"])
def test_a_measure_on_the_handle_says_that_the_block_is_missing(name: str) -> None:
    assert measures()[name].of(hidden()) is None
    assert "handle block" in measures()[name].missing(hidden())


def test_the_card_says_that_the_length_of_the_steel_is_without_the_block() -> None:
    made = route(hidden())
    assert "overall length 215 mm (8-15/32 in), without the handle block" in card(made).parts[0].lines[0]
    for key in ("template", "cut"):
        (told,) = (number for number in made.operation(key).numbers if number.what == "overall length")
        assert told.note == "without the handle block"


def test_a_difference_in_length_is_one_of_the_steel() -> None:
    longer = join_halves(DropPoint(blade_length=114.0), StickTang())
    told = knife_difference(hidden(), dataclasses.replace(hidden(), outline=longer))
    assert any(line.startswith("overall length, without the handle block: 215.00 mm") for line in told)


def test_what_the_maker_settles_is_not_told_as_the_customers_order() -> None:
    made = route(knife(), order(), work=Work(finish="satin", mark="etched", etch="dark"))
    assert {made.operation(key).finish for key in ("surface", "mark", "etch")} == {""}
    wanted = met(Finish(operation="surface", finish="satin"))
    assert route(knife(), wanted, work=Work(finish="satin")).operation("surface").finish == "satin (requirement 1)"


def test_an_offer_promises_no_length_of_a_knife_whose_block_is_not_designed() -> None:
    bar = BarPrice(steel="1.4116", thickness=3.5, height=40.0, length=1000.0, price=Decimal(50))
    prices = plain_list(bars=(bar,))
    made = dataclasses.replace(quote_run(plank(), plain_list()), bill=Bill(hidden(), 1, 5.0), prices=prices)
    told = " ".join(quote_text(customers_copy(made)).split())
    assert "overall 215 mm (8.46 in), without the handle block" in told

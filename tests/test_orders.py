"""Every planted omission and contradiction is found by its code, and no sound order is flagged."""

from __future__ import annotations

import dataclasses

import pytest
from orders import asked, changed, knife, order, pairs, rich
from orders_in_words import pairs as pairs_in_words
from orders_in_words import sound_words

from bladegeom import Feature, MadeOf, Measured, TextureZone, check_order, landings
from bladegeom.quantities.materials import materials

PAIRS = (*pairs(), *pairs_in_words())

STEPS = ("temper", "surface", "etch")
"""Steps that the orders point at; the derived route has them too, and takes longer."""


def test_there_are_enough() -> None:
    for orders in ([(p.sound, p.sound_knife) for p in PAIRS], [(p.faulty, p.faulty_knife) for p in PAIRS]):
        assert sum(pair not in orders[:i] for i, pair in enumerate(orders)) >= 25


def test_planted() -> None:
    for pair in PAIRS:
        found = check_order(pair.faulty, pair.faulty_knife or knife(), STEPS)
        assert {finding.code for finding in found} == set(pair.codes), pair.name
        assert all(finding.part == "order" and finding.source and len(finding.message) > 20 for finding in found), (
            pair.name
        )


def test_sound() -> None:
    for pair in PAIRS:
        assert check_order(pair.sound, pair.sound_knife or knife(), STEPS) == (), pair.name


def test_words_that_name_nothing_to_measure() -> None:
    for wanted in sound_words():
        assert check_order(wanted, knife(), STEPS) == (), wanted.requirements


def test_an_order_that_tells_everything_is_sound() -> None:
    assert check_order(rich(), knife()) == ()


@pytest.mark.parametrize(("weight", "severity"), [("must", "error"), ("wish", "warning")])
def test_a_must_weighs_more_than_a_wish(weight: str, severity: str) -> None:
    heavy = asked(weight=weight, met=Measured(measure="mass", high=100))
    other = asked(2, weight=weight, met=Measured(measure="mass", low=120))
    found = {finding.code: finding for finding in check_order(order(heavy, other), knife())}
    assert {finding.severity for finding in found.values()} == {severity}
    assert set(found) == {"order-measure", "order-ranges"}
    assert found["order-measure"].limit == 100


def test_what_is_missed_is_told_in_numbers() -> None:
    long = asked(met=Measured(measure="blade length", nominal="4 in", tolerance="1 mm"))
    (found,) = check_order(order(long), knife())
    assert found.measured == pytest.approx(110.0)
    assert found.limit == pytest.approx(102.6)
    assert "7.40 mm (0.291 in) less is needed" in found.message
    assert "wanted 101.60 mm (4 in) within 1.00 mm (0.039 in)" in found.message


def test_every_steel_of_the_table_is_stainless_or_not() -> None:
    """EN 10088-1 calls steel with 10.5 % chromium or more and 1.2 % carbon or less stainless (from memory)."""
    told = {material.name: material.stainless for material in materials() if material.kind == "steel"}
    assert None not in told.values()
    assert all(told[name] for name in ("440C", "1.4116", "1.4034", "1.4037", "420", "304", "316"))
    assert not any(told[name] for name in ("1084", "1095", "O1", "52100", "A2", "D2", "1.2842", "15N20", "L6"))


def test_a_texture_may_lie_in_two_zones() -> None:
    right = TextureZone(start=30.0, end=70.0, depth=0.3, side="right")
    left = dataclasses.replace(right, side="left")
    wanted = order(asked(met=Feature(what="texture", side="both", place="blade")))
    assert check_order(wanted, changed(zones=(right, left))) == ()
    assert [finding.code for finding in check_order(wanted, changed(zones=(right,)))] == ["order-feature"]


def test_a_wrong_letter_is_named() -> None:
    (found,) = check_order(order(asked(met=Feature(what="mark", text="DECK l", side="right"))), knife())
    assert "'DECK 1' differs from 'DECK l' at letter 6" in found.message


def test_steps_that_are_passed_in_count_alone() -> None:
    way = Measured(measure="hardness", low=55, high=57)
    wanted = order(asked(met=way))
    assert [landing.state for landing in landings(wanted, knife(), ("temper",))] == ["later"]
    assert [landing.state for landing in landings(wanted, knife(), ("heat_treat", "tempering"))] == ["unknown"]
    (found,) = check_order(wanted, knife(), ("heat_treat", "tempering"))
    assert "did you mean 'tempering'" in found.message


def test_a_blade_over_the_limit_is_a_question_of_law_for_both_sides() -> None:
    (found,) = (
        finding for finding in check_order(order(length_limit="4 in"), knife(), STEPS) if finding.code == "order-length"
    )
    assert "who sells" in found.message
    assert "who carries" in found.message


def test_an_unknown_part_names_those_of_the_knife() -> None:
    """They are few, and the nearest in letters of 'blade' is no neighbour of it."""
    (landing,) = landings(order(asked(met=MadeOf(part="blade", material="1.4116"))), knife(), STEPS)
    assert "fasteners, liners, pin, scales" in landing.words
    assert "steel" in landing.words
    assert "did you mean" not in landing.words

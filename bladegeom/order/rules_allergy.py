"""Allergies beside everything that the hand or the skin may touch."""

from __future__ import annotations

import difflib
from collections.abc import Iterator

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.order.order import Order, Requirement
from bladegeom.order.order_features import parts_of
from bladegeom.order.order_ways import Finish, HandCheck
from bladegeom.order.rules_use import PRACTICE, order_finding
from bladegeom.quantities.allergens import allergen_in, allergens, is_known_allergy, names_allergen


@rule(
    Code("order-allergy-unknown", ("warning",), "what holds the substance of an allergy is not known here"),
    Code("order-allergy-words", ("warning",), "words of the order name what an allergy forbids"),
    Code("order-allergy", ("error",), "a material holds what the customer is allergic to"),
)
def allergies(order: Order, knife: Knife) -> Iterator[Finding]:
    """A material of the design, the sheath or the customer's own that holds what the customer is allergic to."""
    for allergy in order.allergies:
        yield from _in_words(allergy, order)
        for part, made in parts_of(knife).items():
            for of in made:
                if (held := allergen_in(allergy, of)) is not None:
                    what, source = held
                    yield _holds(allergy, f"the {part} of the design: {of.name} ({what})", source)
        for where, text in _texts(order):
            if names_allergen(allergy, text):
                yield _holds(allergy, f"{where}: {text}", "the order")
        if not is_known_allergy(allergy):
            yield order_finding(
                "order-allergy-unknown",
                "warning",
                f"an allergy to {allergy} is named, and which materials hold it is not known here"
                f"{_suggestion(allergy)}: compare the bill of material by hand",
                PRACTICE,
            )


def _suggestion(allergy: str) -> str:
    words = [word for row in allergens() for word in row.words]
    close = difflib.get_close_matches(allergy.lower(), words, n=1)
    return f" (did you mean {close[0]!r}?)" if close else ""


def _texts(order: Order) -> Iterator[tuple[str, str]]:
    if order.sheath is not None:
        yield "the sheath", order.sheath.material
    for own in order.own_materials:
        yield f"what the customer brings for the {own.part}", own.what


def _in_words(allergy: str, order: Order) -> Iterator[Finding]:
    for requirement, text in _ways(order):
        if names_allergen(allergy, text):
            yield order_finding(
                "order-allergy-words",
                "warning",
                f"an allergy to {allergy} is named, and {requirement.name} asks for {text!r}: which counts?",
                "the order: the customer's own words",
            )


def _ways(order: Order) -> Iterator[tuple[Requirement, str]]:
    """What is made or looked at, in words, of every requirement that does not say what the skin cannot bear."""
    for requirement in order.requirements:
        if requirement.concerns != "care":
            yield from ((requirement, way.finish) for way in requirement.ways if isinstance(way, Finish))
            yield from ((requirement, way.look) for way in requirement.ways if isinstance(way, HandCheck))


def _holds(allergy: str, where: str, source: str) -> Finding:
    message = (
        f"an allergy to {allergy} is named. {where[0].upper()}{where[1:]}: take another, or let the customer decide "
        "and allow order-allergy. How much reaches the skin nobody knows here; a doctor does"
    )
    return order_finding("order-allergy", "error", message, source)

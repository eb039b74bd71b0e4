"""What is still to be asked: open requirements, unanswered changes, open places, wishes that land nowhere."""

from __future__ import annotations

import string
from collections.abc import Iterator, Sequence

from bladegeom.agreement.page_parts import PageQuestion
from bladegeom.knife.knife import Knife
from bladegeom.order.order import Order, Requirement
from bladegeom.order.order_mark_texts import open_texts
from bladegeom.order.order_places import open_places
from bladegeom.signoff.traceability import Landing

_Asked = tuple[str, tuple[str, ...], bool]


def open_questions(
    order: Order, knife: Knife, landed: Sequence[Landing], *, currency: str = ""
) -> tuple[PageQuestion, ...]:
    """Every open question, lettered in the order's order.

    Args:
        order: The order.
        knife: The design.
        landed: Where its requirements land.
        currency: Of prices in the order; empty where no price list tells it.
    """
    numbers = [requirement.number for requirement in order.requirements]
    of_wishes = sorted(
        (*_of_wishes(landed), *_of_texts(order, knife), *_of_places(order, knife)),
        key=lambda pair: numbers.index(pair[0]),
    )
    asked = (*(pair[1] for pair in of_wishes), *_of_changes(order, currency), *_of_facts(order))
    return tuple(
        PageQuestion(letter=_letter(i), words=words, choices=choices, must=must)
        for i, (words, choices, must) in enumerate(asked)
    )


def _of_wishes(landed: Sequence[Landing]) -> Iterator[tuple[int, _Asked]]:
    told: set[int] = set()
    for landing in landed:
        wanted = landing.requirement
        if landing.state not in ("open", "nowhere", "unknown") or wanted.number in told:
            continue
        told.add(wanted.number)
        if landing.state == "open":
            yield wanted.number, (f"{_quoted(wanted)}: what is to be done?", (), wanted.open_must)
        else:
            yield wanted.number, (f"{_quoted(wanted)}: how is this to be done?", (), wanted.weight == "must")


def _of_texts(order: Order, knife: Knife) -> Iterator[tuple[int, _Asked]]:
    for asked in open_texts(order, knife):
        wanted, drawn = asked.requirement, tuple(f"'{text}', as in the picture" for text in asked.drawn)
        words = f"{_quoted(wanted)}: what is to stand there, letter by letter?"
        yield wanted.number, (words, drawn, wanted.weight == "must")


def _of_places(order: Order, knife: Knife) -> Iterator[tuple[int, _Asked]]:
    for place in open_places(order, knife):
        wanted = place.requirement
        yield wanted.number, (f"{_quoted(wanted)}: where?", place.choices, wanted.weight == "must")


def _of_changes(order: Order, currency: str) -> Iterator[_Asked]:
    for change in order.changes:
        if change.answer == "open":
            price = "" if change.price is None else f" (price: {_price(change.price, currency)})"
            yield f"Asked for on {change.date}: {change.text}{price}", ("yes", "no"), True


def _price(amount: float, currency: str) -> str:
    """With its currency; where nobody has told that, with a line for it."""
    shown = f"{amount:.0f}" if amount == round(amount) else f"{amount:.2f}"
    return f"{shown} {currency or '________'}"


def _of_facts(order: Order) -> Iterator[_Asked]:
    if order.sheath is not None and order.sheath.side is None:
        yield "On which side is the sheath worn?", ("on the right", "on the left"), False
    for reference in order.references:
        if not reference.liked:
            yield f"Like {reference.what}: what exactly do you like about it?", (), False


def _quoted(wanted: Requirement) -> str:
    return f"To number {wanted.number}, \N{LEFT DOUBLE QUOTATION MARK}{wanted.text}\N{RIGHT DOUBLE QUOTATION MARK}"


def _letter(number: int) -> str:
    """A, B ... Z, AA, AB ..."""
    letters = string.ascii_uppercase
    more, last = divmod(number, len(letters))
    return f"{_letter(more - 1) if more else ''}{letters[last]}"

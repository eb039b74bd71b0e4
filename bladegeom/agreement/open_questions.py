"""What is still to be asked: open requirements, unanswered changes, open places, wishes that land nowhere."""

from __future__ import annotations

import string
from collections.abc import Iterator, Sequence

from bladegeom.agreement.page_parts import PageQuestion
from bladegeom.knife.knife import Knife
from bladegeom.order.order import Order
from bladegeom.order.order_places import open_places
from bladegeom.signoff.traceability import Landing

_Asked = tuple[str, tuple[str, ...], bool]


def open_questions(order: Order, knife: Knife, landed: Sequence[Landing]) -> tuple[PageQuestion, ...]:
    """Every open question, lettered in the order's order.

    Args:
        order: The order.
        knife: The design.
        landed: Where its requirements land.
    """
    asked = (*_of_wishes(landed), *_of_places(order, knife), *_of_changes(order), *_of_facts(order))
    return tuple(
        PageQuestion(letter=_letter(i), words=words, choices=choices, must=must)
        for i, (words, choices, must) in enumerate(asked)
    )


def _of_wishes(landed: Sequence[Landing]) -> Iterator[_Asked]:
    told: set[int] = set()
    for landing in landed:
        wanted = landing.requirement
        if landing.state not in ("open", "nowhere", "unknown") or wanted.number in told:
            continue
        told.add(wanted.number)
        if landing.state == "open":
            yield f"{wanted.number}. {wanted.text}: what is to be done?", (), wanted.open_must
        else:
            yield f"{wanted.number}. {wanted.text}: how is this to be done?", (), wanted.weight == "must"


def _of_places(order: Order, knife: Knife) -> Iterator[_Asked]:
    for place in open_places(order, knife):
        wanted = place.requirement
        words = f"{wanted.number}. {wanted.text}: where?"
        yield words, place.choices, wanted.weight == "must"


def _of_changes(order: Order) -> Iterator[_Asked]:
    for change in order.changes:
        if change.answer == "open":
            price = "" if change.price is None else f" (price: {change.price:g})"
            yield f"Asked for on {change.date}: {change.text}{price}", ("yes", "no"), True


def _of_facts(order: Order) -> Iterator[_Asked]:
    if order.sheath is not None and order.sheath.side is None:
        yield "On which side is the sheath worn?", ("on the right", "on the left"), False
    for reference in order.references:
        if not reference.liked:
            yield f"Like {reference.what}: what exactly do you like about it?", (), False


def _letter(number: int) -> str:
    """A, B ... Z, AA, AB ..."""
    letters = string.ascii_uppercase
    more, last = divmod(number, len(letters))
    return f"{_letter(more - 1) if more else ''}{letters[last]}"

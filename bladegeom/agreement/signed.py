"""Who agreed with whom, when and how: what the two sign for besides the knife itself."""

from __future__ import annotations

from typing import Annotated, Final

from bladegeom.price.money import PositiveAmount
from bladegeom.quantities.declared import declared
from bladegeom.quantities.field_rules import Date, Items, KnownWord, Like, Says

HOW: Final = {
    "on paper": "both names stand under the printed page",
    "by letter": "the page came back signed",
    "by e-mail": "the customer's answer is kept with the page",
    "on a screen": "the customer looked at the page beside the maker and signed there",
    "by word of mouth": "said in the shop or by telephone; the maker alone has written it down",
}
"""Ways of agreeing, and what each means."""

MOST_ANSWERS: Final = 200


@declared("answer", example="Answered(question='Mark on which side?', answer='left')")
class Answered:
    """A question that was open on the page, and what the customer said.

    Args:
        question: As it stood there.
        answer: In the customer's words.

    >>> Answered(question="Mark on which side?", answer="left").answer
    'left'
    """

    question: Annotated[str, Says("Mark on which side?")]
    answer: Annotated[str, Says("left")]


@declared("agreed price", example="AgreedPrice(amount=Decimal('640.00'), currency='EUR')")
class AgreedPrice:
    """What the customer pays for the whole order.

    Args:
        amount: All knives, changes, shipping and tax together, as a decimal.
        currency: As on the price list.

    >>>     >>> AgreedPrice(amount=Decimal("640.00"), currency="EUR").words
    '640.00 EUR'
    """

    amount: Annotated[PositiveAmount, Like("Decimal('640.00')")]
    currency: Annotated[str, Says("EUR")]

    @property
    def words(self) -> str:
        """As it is told."""
        return f"{self.amount} {self.currency}"


@declared("signature", example="Signed(customer='the cook', maker='the smith', date='2026-03-09', how='on paper')")
class Signed:
    """Who agreed, when and how.

    Args:
        customer: As they sign.
        maker: As they sign.
        date: On which it was agreed.
        how: A word of :data:`HOW`.
        answers: To the questions that were open.
        price: That was agreed, if any was.
        note: Anything else.

    >>> signed = Signed(customer="the cook", maker="the smith", date="2026-03-09", how="on paper")
    >>> signed.words
    'agreed on 2026-03-09, on paper, by the cook and the smith'
    """

    customer: Annotated[str, Says("the ship's cook")]
    maker: Annotated[str, Says("the ship's smith")]
    date: Date
    how: Annotated[str, KnownWord("way of agreeing", tuple(HOW))]
    answers: Annotated[tuple[Answered, ...], Items(most=MOST_ANSWERS, way_out="ask less")] = ()
    price: AgreedPrice | None = None
    note: str = ""

    @property
    def words(self) -> str:
        """In a clause."""
        return f"agreed on {self.date.isoformat()}, {self.how}, by {self.customer} and {self.maker}"

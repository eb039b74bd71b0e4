"""Who agreed with whom, when and how: what the two sign for besides the knife itself."""

from __future__ import annotations

import re
from numbers import Number
from typing import Annotated, Final

from bladegeom.quantities.declared import declared
from bladegeom.quantities.field_rules import Becomes, Date, Items, KnownWord, Matches, Says

HOW: Final = {
    "on paper": "both names stand under the printed page",
    "by letter": "the page came back signed",
    "by e-mail": "the customer's answer is kept with the page",
    "on a screen": "the customer looked at the page beside the maker and signed there",
    "by word of mouth": "said in the shop or by telephone; the maker alone has written it down",
}
"""Ways of agreeing, and what each means."""

_AMOUNT: Final = re.compile(r"\d{1,10}(\.\d{1,6})?")

MOST_ANSWERS: Final = 200
MOST_TERMS: Final = 500
"""Own choices, far above what stands on a page; a file holds no more."""


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


@declared("agreed term", example="AgreedTerm(what='deposit', value='30 % of what is to pay')")
class AgreedTerm:
    """What the customer read of the offer beside its price: tax, deposit, shipping, fees for changes.

    Args:
        what: It is.
        value: How much, in words.

    >>> AgreedTerm(what="deposit", value="30 % of what is to pay").what
    'deposit'
    """

    what: Annotated[str, Says("deposit")]
    value: Annotated[str, Says("30 % of what is to pay")]


def _amount_text(value: object) -> object:
    """A number as a text, so that no coin is lost in the file."""
    if isinstance(value, bool):
        return value
    return str(value) if isinstance(value, Number) else value


@declared("agreed price", example="AgreedPrice(amount='640.00', currency='EUR')")
class AgreedPrice:
    """What the customer pays for the whole order.

    Args:
        amount: All knives, changes, shipping and tax together: a decimal, or its text.
        currency: As on the price list.

    >>> AgreedPrice(amount="640.00", currency="EUR").words, AgreedPrice(amount="1047.2", currency="EUR").words
    ('640.00 EUR', '1047.20 EUR')
    """

    amount: Annotated[str, Becomes(_amount_text), Matches(_AMOUNT, "be an amount such as '640.00'")]
    currency: Annotated[str, Says("EUR")]

    @property
    def words(self) -> str:
        """As it is told: with cents, where it has any."""
        whole, point, coins = self.amount.partition(".")
        return f"{whole}{point}{coins.ljust(2, '0') if point else ''} {self.currency}"

    def is_same(self, other: AgreedPrice) -> bool:
        """Whether two are equal, however many noughts are written."""
        return (_bare(self.amount), self.currency) == (_bare(other.amount), other.currency)


def _bare(amount: str) -> str:
    whole, _, coins = amount.partition(".")
    return f"{int(whole)}.{coins.rstrip('0')}"


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
        terms: That stood beside the price; none where none was agreed, or where they were not kept.
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
    terms: Annotated[tuple[AgreedTerm, ...], Items(most=MOST_TERMS, way_out="have fewer gates")] = ()
    note: str = ""

    @property
    def words(self) -> str:
        """In a clause."""
        return f"agreed on {self.date.isoformat()}, {self.how}, by {self.customer} and {self.maker}"

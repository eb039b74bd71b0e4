"""What the customer's page says, as plain values: how it looks on paper and on a screen stands elsewhere."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from bladegeom.price.quote_copy import QuoteSection


@dataclass(frozen=True, kw_only=True)
class PageItem:
    """A wish with its number, and what was made of it.

    Args:
        number: Of the requirement; pointers in the picture bear it.
        words: The customer's own.
        aside: What kind of wish it is, where it is none that must be met; empty else.
        made: What was made of it, a sentence each.
    """

    number: int
    words: str
    aside: str
    made: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class PageRow:
    """A line of a table: what, how much, and what else is to be known of it."""

    what: str
    value: str
    how: str = ""


@dataclass(frozen=True, kw_only=True)
class PageQuestion:
    """A question that is still open, with its box.

    Args:
        letter: By which it is called.
        words: In which it is asked.
        choices: To tick; without any there is a line to write on.
        must: Whether nothing can be agreed before it is answered.
    """

    letter: str
    words: str
    choices: tuple[str, ...]
    must: bool


@dataclass(frozen=True, kw_only=True)
class CustomersPage:
    """Everything that the customer's page says.

    Args:
        name: Of the knife.
        mark: Its revision id.
        maker: Who makes it; empty leaves a line to write on.
        customer: Who gets it; empty leaves a line to write on.
        date: Of the page; None leaves a line to write on.
        facts: Number of the order, how many, by when, and what was told besides.
        items: Each wish.
        sizes: What is measured.
        made_of: Materials, and what is seen on the blade.
        left_out: What is not included.
        hand: How exactly work by hand meets the sizes.
        price: What is to pay; nothing where no price is wanted.
        currency: Of the price; empty without one.
        questions: That are still open.
        care: What to know of a sharp tool.
    """

    name: str
    mark: str
    maker: str
    customer: str
    date: datetime.date | None
    facts: tuple[PageRow, ...]
    items: tuple[PageItem, ...]
    sizes: tuple[PageRow, ...]
    made_of: tuple[PageRow, ...]
    left_out: tuple[str, ...]
    hand: tuple[PageRow, ...]
    price: tuple[QuoteSection, ...]
    currency: str
    questions: tuple[PageQuestion, ...]
    care: tuple[str, ...]

    @property
    def title(self) -> str:
        """Over the page."""
        return f"Agreement: {self.name}"

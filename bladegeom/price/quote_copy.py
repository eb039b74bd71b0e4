"""A quote in words: rows under titles, which a page or a text shows as they are."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class QuoteRow:
    """One line of a quote: what, more about it, and an amount where there is one.

    Args:
        what: It is.
        how: More about it.
        amount: As shown, without the currency; empty where there is none.
        strong: Whether it is a sum.
    """

    what: str
    how: str = ""
    amount: str = ""
    strong: bool = False


@dataclass(frozen=True, kw_only=True)
class QuoteSection:
    """Rows under a title."""

    title: str
    rows: tuple[QuoteRow, ...]


@dataclass(frozen=True, kw_only=True)
class Copy:
    """A whole quote in words.

    Args:
        title: At its head.
        mark: Of the design's state, on every page.
        remarks: Under the title.
        currency: Of all amounts.
        sections: In order.
        foot: Last lines.
    """

    title: str
    mark: str
    remarks: tuple[str, ...]
    currency: str
    sections: tuple[QuoteSection, ...]
    foot: tuple[str, ...]

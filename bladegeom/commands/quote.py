"""What a knife or a run of it costs at a maker's own prices."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

from bladegeom.book.quote_pages import quote_pages
from bladegeom.design.design import Design
from bladegeom.design.own_settings import in_own_settings
from bladegeom.knife.revision_id import revision_date
from bladegeom.price.hours import LoggedJob
from bladegeom.price.price_list import PriceList
from bladegeom.price.price_list_toml import read_prices
from bladegeom.price.quote import AnyQuote, Quote, quote_run
from bladegeom.price.quote_copy import Copy
from bladegeom.price.quote_text import quote_text
from bladegeom.price.quote_words import customers_copy, makers_copy
from bladegeom.price.work_log import read_log
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Like
from bladegeom.quantities.papers import paper as paper_named
from bladegeom.settings.settings import settings_in_force
from bladegeom.writers.printout import Printout

_Jobs = Annotated[tuple[LoggedJob, ...], Like("read_log('jobs.csv')")]


@in_own_settings
def quote(
    design: Design,
    prices: PriceList | str | Path | None = None,
    *,
    copies: int | None = None,
    jobs: Sequence[LoggedJob] | str | Path = (),
) -> Quote:
    """A run at a maker's prices.

    Args:
        design: The knife, with its order if there is one.
        prices: The maker's, or the TOML file that holds them; None takes the file that the design's settings name.
        copies: How many knives; None takes the order's quantity, else one.
        jobs: Past jobs with their hours, or the CSV file that holds them; none takes the hours of the price list.

    Returns:
        The quote; ``quote_words`` tells it, ``quote_sheet`` prints it.

    Raises:
        ParameterError: A value of another kind.
        ScriptError: A file that cannot be read, or says what none can say.

    >>> from bladegeom import starter_prices
    >>> path = folder / "prices.toml"
    >>> _ = path.write_text(starter_prices())
    >>> made = quote(design, path, copies=2)
    >>> made.missing[0][:13], len(made.missing)
    ('bar of 1.4116', 2)
    """
    checked("quote: design", design, Design)
    named = design.settings.price_list if prices is None else prices
    if named is None:
        raise ParameterError("quote: prices", None, "be a price list or its file: the settings name none")
    listed = named if isinstance(named, PriceList) else read_prices(named)
    logged = read_log(jobs) if isinstance(jobs, str | Path) else checked("quote: jobs", jobs, _Jobs)
    count = (1 if design.order is None else design.order.quantity) if copies is None else copies
    return quote_run(design.knife, listed, copies=count, order=design.order, jobs=logged, operations=design.route.keys)


def quote_words(made: Quote, *, customer: bool = False) -> str:
    """A quote as text, 100 letters wide.

    Args:
        made: The quote.
        customer: Whether it is the customer's copy, which tells no cost and no hours.

    Raises:
        ParameterError: No quote.
        QuoteError: Something has no price, and it is the customer's copy.

    >>> from bladegeom import starter_prices
    >>> path = folder / "prices.toml"
    >>> _ = path.write_text(starter_prices())
    >>> from bladegeom import quote
    >>> print(quote_words(quote(design, path)).splitlines()[0])
    Quote: 1 x Rigging knife, revision A, design A-215221d0
    """
    return quote_text(_copy(made, customer=customer))


def quote_sheet(made: Quote, *, customer: bool = False, paper: str | None = None) -> Printout:
    """A quote on paper.

    Args:
        made: The quote.
        customer: Whether it is the customer's copy, which tells no cost and no hours.
        paper: Such as "A4" or "Letter"; None takes the one of the settings in force, A4 where there are none.

    Raises:
        ParameterError: No quote.
        QuoteError: Something has no price, and it is the customer's copy.
        UnknownNameError: No such paper.

    >>> from bladegeom import starter_prices
    >>> path = folder / "prices.toml"
    >>> _ = path.write_text(starter_prices())
    >>> from bladegeom import quote
    >>> [path.name for path in quote_sheet(quote(design, path)).save(folder / "quote.pdf")]
    ['quote.pdf']
    """
    sheets = quote_pages(
        _copy(made, customer=customer), paper_named(settings_in_force().paper if paper is None else paper)
    )
    return Printout(sheets=sheets, date=revision_date(made.bill.knife))


def _copy(made: Quote, *, customer: bool) -> Copy:
    checked("quote: made", made, AnyQuote)
    return customers_copy(made) if customer else makers_copy(made)

"""Whether the cutting that the price list pays for is the process that the knife is cut by."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.knife.finding import Finding
from bladegeom.knife.rule import Code, rule
from bladegeom.price.quote import Offer, Quote
from bladegeom.quantities.cutting_processes import process_limits

_CUT = "cut"
"""Key of the step that others may do."""


@rule(Code("quote-process", ("warning",), "the price list names another cutting process than the knife's"))
def process_agrees(quote: Quote, _: Offer | None) -> Iterator[Finding]:
    """No process is named in the price of the cutting but that of the knife."""
    process = quote.bill.knife.shop.process.name
    for outside in quote.prices.outside:
        own, named = _named_in(process), _named_in(outside.name)
        if _CUT in outside.covers and named and not own & named:
            message = (
                f"the knife is cut by {process}, and '{outside.name}' of the price list is charged: "
                f"write the price of {process} into the list, or have the knife cut by {min(named)}"
            )
            yield Finding(
                code="quote-process",
                severity="warning",
                part="quote",
                message=message,
                source="the knife and the price list",
            )


def _named_in(words: str) -> set[str]:
    """The processes of the table that words name."""
    return {name for name in process_limits() if name.lower() in words.lower()}

"""The findings of an agreement: what a customer would miss keeps the cut file back, what nobody sees is listed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bladegeom.agreement.agreed import Spoiled
from bladegeom.agreement.compared import Compared
from bladegeom.agreement.sights import KINDS
from bladegeom.knife.finding import Finding
from bladegeom.knife.rule import Code, rule

_AGAIN: Final = "let the customer agree again (bladegeom agree)"
_MAKE: Final = "make it as it was agreed"
_KEEP: Final = {"price": "keep to what was agreed"}
"""The way out where nothing is made otherwise."""

_PART: Final = "agreement"


@rule(Code("agreement-unread", ("error",), "the file of what was agreed cannot be taken for an agreement"))
def spoiled_agreement(found: Spoiled) -> Iterator[Finding]:
    """A file that was to hold an agreement, and is damaged, of another kind, or changed by hand."""
    yield Finding(
        code="agreement-unread",
        severity="error",
        part=_PART,
        message=f"{found.file}, {found.reason}; nothing counts as agreed until then",
        source=found.file,
    )


@rule(Code("agreement-of-another", ("error",), "what was agreed belongs to another order or another knife"))
def agreement_of_another(compared: Compared) -> Iterator[Finding]:
    """An agreement that lies beside a design that it was not made for."""
    if not compared.is_of_another:
        return
    was, now = (
        f"order {state.order}" if state.order else f"{state.name!r} without an order"
        for state in (compared.agreed, compared.present)
    )
    yield Finding(
        code="agreement-of-another",
        severity="error",
        part=_PART,
        message=f"what was agreed is for {was}, and this is {now}: take the file away, or {_AGAIN}",
        source=compared.agreed.signed.words,
    )


@rule(*(Code(f"agreed-{kind}", ("error",), f"the customer agreed to another {kind}") for kind in KINDS))
def changed_since_agreed(compared: Compared) -> Iterator[Finding]:
    """What a customer can see or feel, and is not as it was agreed."""
    if compared.is_of_another:
        return
    for difference in compared.seen:
        yield Finding(
            code=f"agreed-{difference.kind}",
            severity="error",
            part=_PART,
            message=f"{compared.told(difference)}; {_KEEP.get(difference.kind, _MAKE)}, or {_AGAIN}",
            source=compared.agreed.signed.words,
            x=difference.x,
            y=difference.y,
        )


@rule(Code("agreed-but-unseen", ("note",), "something differs from what was agreed that no customer sees"))
def changed_unseen(compared: Compared) -> Iterator[Finding]:
    """What differs from what was agreed, and nobody sees: all of it in one note."""
    listed = [difference.short for difference in compared.unseen if difference.kind != "price"]
    if compared.is_of_another or not listed:
        return
    yield Finding(
        code="agreed-but-unseen",
        severity="note",
        part=_PART,
        message=f"changed since it was agreed, where no customer sees it: {'; '.join(listed)}",
        source=compared.agreed.signed.words,
    )


@rule(Code("agreed-price-stands", ("note",), "by the price list it comes to another price than was agreed"))
def price_stands(compared: Compared) -> Iterator[Finding]:
    """What is made costs the maker more or less than on the day of the agreement, which is none of the customer's."""
    moved = compared.price_moved
    if compared.is_of_another or moved is None:
        return
    yield Finding(
        code="agreed-price-stands",
        severity="note",
        part=_PART,
        message=f"{moved.was} was agreed, and by your price list it comes to {moved.now} now: the agreed price "
        f"stands, and what has moved is yours to bear; for another price {_AGAIN}",
        source=compared.agreed.signed.words,
    )


@rule(Code("agreed-terms-unknown", ("note",), "a price was agreed, and the terms beside it were not kept"))
def terms_are_known(compared: Compared) -> Iterator[Finding]:
    """An agreement that holds the price alone."""
    signed = compared.agreed.signed
    if compared.is_of_another or compared.offer is None or signed.price is None or signed.terms:
        return
    yield Finding(
        code="agreed-terms-unknown",
        severity="note",
        part=_PART,
        message="the agreement holds a price and not its tax, deposit and fees for changes, as older ones do: compare "
        "these with the signed page",
        source=signed.words,
    )


def check_agreed(found: Compared | Spoiled) -> Iterator[Finding]:
    """Everything there is to say about an agreement.

    Args:
        found: It beside the design, or a file that holds none.
    """
    if isinstance(found, Spoiled):
        yield from spoiled_agreement(found)
    else:
        yield from agreement_of_another(found)
        yield from changed_since_agreed(found)
        yield from changed_unseen(found)
        yield from price_stands(found)
        yield from terms_are_known(found)

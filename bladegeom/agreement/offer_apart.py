"""What of an offer is not as it was agreed: its terms are the customer's, what the work costs is the maker's own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.agreement.difference_seen import NONE, At, Difference
from bladegeom.agreement.offer_now import BY_ORDER, OfferNow
from bladegeom.agreement.sights import sight_of
from bladegeom.agreement.signed import AgreedPrice, AgreedTerm, Signed


def offer_differences(signed: Signed, now: OfferNow) -> Iterator[Difference]:
    """Of an offer as it was signed, and as it would be made today.

    Args:
        signed: By whom a price was agreed.
        now: Today.
    """
    if signed.price is not None and now.price is not None:
        yield from _prices(signed.price, now.price)
    if signed.terms:
        yield from _terms(_by_what(signed.terms), _by_what(now.terms))


def _prices(was: AgreedPrice, now: AgreedPrice) -> Iterator[Difference]:
    """Another sum is no other agreement; another currency is."""
    if not was.is_same(now):
        field = "amount" if was.currency == now.currency else "currency"
        at = _at(field)
        yield at.worded(was.words, now.words, is_seen=not at.is_hidden)


def _terms(was: dict[str, str], now: dict[str, str]) -> Iterator[Difference]:
    for what in dict.fromkeys((*was, *now)):
        old, new = was.get(what, NONE), now.get(what, NONE)
        if old != new and BY_ORDER not in (old, new):
            yield _at("terms", what).worded(old, new, is_seen=True)


def _at(field: str, what: str = "") -> At:
    sight = sight_of(Signed.__name__ if field == "terms" else AgreedPrice.__name__, field)
    return At(sight, what or sight.words, sight.kind, sight.asked)


def _by_what(terms: Sequence[AgreedTerm]) -> dict[str, str]:
    """Terms that are called alike as one."""
    found: dict[str, list[str]] = {}
    for term in terms:
        found.setdefault(term.what, []).append(term.value)
    return {what: "; ".join(values) for what, values in found.items()}

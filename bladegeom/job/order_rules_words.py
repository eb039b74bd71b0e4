"""The customer's own words beside what the order makes of them."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from typing import Final

from bladegeom.body.knife import Knife
from bladegeom.job.order import Order
from bladegeom.job.order_rules_use import found, wanted
from bladegeom.job.order_ways import Feature
from bladegeom.reason.finding import Finding

_ALIKE: Final = 0.75
"""Texts are meant to be the same from this share of common letters on; own choice: two names differ by more."""

_STOPS: Final = ".,;:!?\"'()"


def spelling(order: Order, _: Knife) -> Iterator[Finding]:
    """A mark that is nearly, and not quite, what stands in the customer's words."""
    for one, way in wanted(order, Feature):
        if not (isinstance(way, Feature) and way.what == "mark" and way.text and not way.absent):
            continue
        if way.text in one.text:
            continue
        said = _nearest(way.text, one.text)
        if said is not None:
            yield found(
                "order-spelling",
                "error",
                f"{one.name} has the mark {way.text!r}, and the customer's words say {said!r}: settle the spelling "
                "letter by letter, with a signed proof",
                "the order",
            )


def _nearest(text: str, words: str) -> str | None:
    """The run of words that is most like a text, where one is like enough; upper and lower case count as alike."""
    count, told = len(text.split()), [word.strip(_STOPS) for word in words.split()]
    runs = {
        run.lower(): run
        for size in {max(count - 1, 1), count, count + 1}
        for i in range(len(told) - size + 1)
        if (run := " ".join(told[i : i + size]))
    }
    close = difflib.get_close_matches(text.lower(), runs, n=1, cutoff=_ALIKE)
    return runs[close[0]] if close else None

"""The customer's own words beside what the order makes of them."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterator
from typing import Final

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.order.order import Order
from bladegeom.order.order_ways import Feature
from bladegeom.order.rules_use import order_finding, wanted

_ALIKE: Final = 0.75
"""Texts are meant to be the same from this share of common letters on; own choice: two names differ by more."""

_STOPS: Final = ".,;:!?\"'()"

_KEYBOARD: Final = {
    **dict.fromkeys(map(ord, "\N{LEFT DOUBLE QUOTATION MARK}\N{DOUBLE LOW-9 QUOTATION MARK}"), '"'),
    **dict.fromkeys(map(ord, "\N{RIGHT DOUBLE QUOTATION MARK}\N{DOUBLE PRIME}"), '"'),
    **dict.fromkeys(map(ord, "\N{LEFT SINGLE QUOTATION MARK}\N{RIGHT SINGLE QUOTATION MARK}"), "'"),
    ord("\N{NO-BREAK SPACE}"): " ",
}
"""What word processors put in place of a keyboard's quotes and spaces."""

_QUOTED: Final = re.compile(r"(?<!\w)\"([^\"]+)\"(?!\w)|(?<!\w)'([^']+)'(?!\w)")
"""A quote after a digit is an inch mark, one inside a word an apostrophe."""

_CAPITALS: Final = re.compile(
    r"(?<!no )(?<!not in )(?<!without )\b(?:capitals|capital letters|block letters|all[- ]caps|(?<!not )in caps|"
    r"upper[- ]?case)\b"
)
_LOWER: Final = re.compile(r"\b(?:lower[- ]?case|all small letters)\b")


@rule(
    Code("order-spelling", ("error",), "the mark is not spelled as the customer wrote it", missed=True),
)
def spelling(order: Order, _: Knife) -> Iterator[Finding]:
    """A mark that is nearly, and not quite, what stands in the customer's words."""
    for requirement, way in wanted(order, Feature):
        if not (isinstance(way, Feature) and way.what == "mark" and way.text and not way.absent):
            continue
        said = said_otherwise(way.text, requirement.text)
        if said is not None:
            yield order_finding(
                "order-spelling",
                "error",
                f"{requirement.name} has the mark {way.text!r}, and the customer's words say {said!r}: settle the "
                "spelling "
                "letter by letter, with a signed proof",
                "the order",
            )


def unquoted(words: str) -> str:
    """The words with quotes as on a keyboard, and a stroke for what stands in quotes."""
    return _QUOTED.sub(" | ", words.translate(_KEYBOARD))


def said_otherwise(text: str, words: str) -> str | None:
    """What a customer's words say in place of a mark's text; None where they say just that, or nothing like it.

    What stands in quotes counts alone; words such as "in capitals" are heeded.
    """
    mark, told, written = text.translate(_KEYBOARD), words.translate(_KEYBOARD), _written(words)
    quoted = [a or b for a, b in _QUOTED.findall(told) if _alike(a or b, mark)]
    if quoted:
        said = [written(quote.strip(" .,;")) for quote in quoted]
        return None if mark in said else said[0]
    if re.search(rf"(?<!\w){re.escape(mark)}(?!\w)", written(told)):
        return None
    near = _nearest(mark, told)
    return None if near is None or written(near) == mark else written(near)


def _written(words: str) -> Callable[[str], str]:
    """How the customer wants it written."""
    if _CAPITALS.search(words.lower()):
        return str.upper
    return str.lower if _LOWER.search(words.lower()) else str


def _alike(phrase: str, other: str) -> bool:
    return difflib.SequenceMatcher(None, phrase.lower(), other.lower()).ratio() >= _ALIKE


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

"""What a stack is held to: each number with its limit, and how badly it misses it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from bladegeom.fasteners.stack_words import Key
from bladegeom.knife.finding import Severity
from bladegeom.knife.handle_rules import HandleRules
from bladegeom.quantities.interval import Interval
from bladegeom.quantities.tolerances import SHOP

FITS_TOGETHER = "the layers must fit each other"
"""Source of limits that follow from geometry alone."""


@dataclass(frozen=True, kw_only=True)
class Limit:
    """A number of a stack that must not fall below a limit.

    Args:
        code: Of the finding.
        number: Its name among the stack's numbers; None where it is none of them.
        words: What the number is, as the subject of a sentence: "the floor under the head".
        below_nought: What happens where there is none of it: "it runs into the pocket".
        value: Nominal and worst case, mm.
        least: mm.
        source: Of the limit.
    """

    code: str
    number: Key | None
    words: str
    below_nought: str
    value: Interval
    least: float
    source: str

    @property
    def severity(self) -> Severity | None:
        """An error where it is missed as drawn, a warning where only in the worst case, else None."""
        if self.value.nominal < self.least - SHOP:
            return "error"
        return "warning" if self.value.low < self.least - SHOP else None

    @property
    def missing(self) -> float:
        """By how much the worst case misses it, mm."""
        return self.least - self.value.low


def missed(limits: Iterable[Limit]) -> Mapping[str, int]:
    """Codes of the limits that are missed, 2 as drawn, 1 in the worst case only."""
    ranks = {"error": 2, "warning": 1}
    return {limit.code: ranks[limit.severity] for limit in limits if limit.severity}


def too_thin(rules: HandleRules, words: str, surface: Interval, over_floor: float) -> Limit:
    """Of a scale too thin for the head.

    Args:
        rules: Of the handle.
        words: What the scale is thinner than, up to "over the liners it".
        surface: The finished face where it is lowest over the head, above the scale's inside face, mm.
        over_floor: What the head takes over its floor, mm.
    """
    return Limit(
        code="scale-too-thin",
        number=None,
        words=words,
        below_nought="",
        value=surface,
        least=over_floor + rules.floor,
        source=rules.source("floor"),
    )

"""The handle beside the hand that it is made for, and beside what is published on hands and grips.

All of it is guidance: the hand that holds the knife decides.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from bladegeom.handle.section import HandleSection, handle_length, handle_sections
from bladegeom.knife.knife import Knife
from bladegeom.quantities.hands import GripGuidance, HandMeasure, grip_guidance, hand_measure, hand_measures
from bladegeom.quantities.shown import rule_length
from bladegeom.quantities.units import show_length

BREADTH = "hand breadth"
"""Across the metacarpals, without the thumb: the measure that a handle's length is told by."""


@dataclass(frozen=True, kw_only=True)
class Placing:
    """Where a hand lies among the hands of one population.

    Args:
        measure: What is measured, mm.
        population: Whose hands.
        known: Published percentiles and their values, ascending.
        percentile: By straight interpolation between two of them; None outside them, where nothing is published.
        source: Of the values.
    """

    measure: float
    population: str
    known: tuple[tuple[int, float], ...]
    percentile: float | None
    source: str

    @property
    def words(self) -> str:
        """In words: between P5 and P50, about P28; or above P95."""
        (first, least), (last, most) = self.known[0], self.known[-1]
        if self.measure < least:
            return f"below P{first}"
        if self.measure > most:
            return f"above P{last}"
        for (low, at_low), (high, at_high) in itertools.pairwise(self.known):
            if at_low < self.measure < at_high:
                return f"between P{low} and P{high}, about P{self.percentile:.0f}"
        return f"P{self.percentile:.0f}"


@dataclass(frozen=True, kw_only=True)
class Guide:
    """One measure of the handle beside one recommendation.

    Args:
        what: "handle length", "usual handle length", "equivalent diameter", "height to width".
        value: Of this handle, mm; of a ratio a bare number.
        low: Least recommended, None where there is none.
        high: Greatest recommended, None where there is none.
        text: Both in words.
        source: Of the recommendation.
    """

    what: str
    value: float
    low: float | None
    high: float | None
    text: str
    source: str


def placings(breadth: float) -> tuple[Placing, ...]:
    """A hand's breadth among all populations with published percentiles of it, in the order of the table.

    Args:
        breadth: mm across the metacarpals.
    """
    rows = [measure for measure in hand_measures() if measure.name == BREADTH and measure.percentile != "mean"]
    return tuple(
        _placing(breadth, population, [measure for measure in rows if measure.population == population])
        for population in dict.fromkeys(measure.population for measure in rows)
    )


def hand_guides(knife: Knife) -> tuple[Guide, ...]:
    """The handle's length, girth and section beside what is recommended; what cannot be told is left out."""
    length, sections = handle_length(knife), handle_sections(knife)
    lengths = () if length is None else tuple(_lengths(knife, length))
    thickest = max(sections, key=lambda section: section.girth, default=None)
    return lengths if thickest is None else (*lengths, _diameter(thickest), _ratio(thickest))


def hand_words(knife: Knife) -> Iterator[str]:
    """The same as briefly as a page at the bench wants it: no source, and of each population where the hand lies."""
    if knife.hand_breadth is None:
        yield _NO_HAND
    else:
        lies = "; ".join(f"{placing.words} of {placing.population}" for placing in placings(knife.hand_breadth))
        yield f"Hand breadth {rule_length(knife.hand_breadth)}: {lies}."
    yield from (f"{guide.text}." for guide in hand_guides(knife))
    yield f"{DEFER} The report names the sources."


def hand_lines(knife: Knife) -> tuple[str, ...]:
    """All of it as lines of text, each with its source, the hand first."""
    return (*_hand(knife.hand_breadth), *(f"{guide.text} ({guide.source})." for guide in hand_guides(knife)), DEFER)


_NO_HAND = "No hand is named: measure it across the knuckles of the four fingers, and have the design made for it."

DEFER = "All this is guidance from other people's hands; the hand that will hold the knife decides."


def _hand(breadth: float | None) -> Iterator[str]:
    if breadth is None:
        yield _NO_HAND
        return
    for placing in placings(breadth):
        values = ", ".join(f"P{percent} {value:g}" for percent, value in placing.known)
        yield (
            f"Hand breadth {rule_length(breadth)}: {placing.words} of {placing.population} ({values} mm; "
            f"{placing.source})."
        )


def _placing(breadth: float, population: str, rows: list[HandMeasure]) -> Placing:
    known = tuple(sorted((int(measure.percentile[1:]), measure.value) for measure in rows))
    percentile = None
    for (low, at_low), (high, at_high) in itertools.pairwise(known):
        if at_low <= breadth <= at_high:
            percentile = low + (high - low) * (breadth - at_low) / (at_high - at_low)
            break
    return Placing(measure=breadth, population=population, known=known, percentile=percentile, source=rows[0].source)


def _lengths(knife: Knife, length: float) -> Iterator[Guide]:
    told = f"Handle length {rule_length(length)}"
    if knife.hand_breadth is not None:
        margin = grip_margin()
        least = knife.hand_breadth + margin
        yield Guide(
            what="handle length",
            value=length,
            low=least,
            high=None,
            text=(
                f"{told}: the hand's breadth and {rule_length(margin)} make {rule_length(least)}"
                f"{_beside(length, least, what='length')}"
            ),
            source=_free_grip().source,
        )
    yield _ranged("usual handle length", length, _guidance("high-force tool", "handle length"), told)


def grip_margin() -> float:
    """What a grip is longer than a hand is broad, mm: the published free grip less the breadth it is derived from."""
    return _free_grip().value - hand_measure(BREADTH, "US Army men, 2012", "P95").value


def _free_grip() -> GripGuidance:
    return _guidance("bare hand, P95 man", "least free grip length")


def _diameter(section: HandleSection) -> Guide:
    told = f"Girth {rule_length(section.girth)} where it is thickest, as a round handle {rule_length(section.diameter)}"
    return _ranged("equivalent diameter", section.diameter, _guidance("power grip", "handle diameter"), told)


def _ratio(section: HandleSection) -> Guide:
    best = _guidance("any tool", "width to height of the section")
    ratio = section.height / section.width
    text = f"Width to height where it is thickest 1:{ratio:.2f}; 1:{best.value:g} is recommended for {best.use}"
    return Guide(what="height to width", value=ratio, low=None, high=None, text=text, source=best.source)


def _ranged(what: str, value: float, row: GripGuidance, told: str) -> Guide:
    low, high = row.low or 0.0, row.high or math.inf
    text = (
        f"{told}: {rule_length(low)} to {rule_length(high)} is recommended for a {row.use}"
        f"{_beside(value, low, high, what=what.rsplit(maxsplit=1)[-1])}"
    )
    return Guide(what=what, value=value, low=row.low, high=row.high, text=text, source=row.source)


def _beside(value: float, low: float, high: float = math.inf, *, what: str) -> str:
    """How far off it lies, and in what: "length", "diameter"."""
    if value < low:
        return f", {show_length(low - value)} more in {what} than this"
    return f", {show_length(value - high)} less in {what} than this" if value > high else ""


def _guidance(use: str, measure: str) -> GripGuidance:
    return next(guidance for guidance in grip_guidance() if (guidance.use, guidance.measure) == (use, measure))

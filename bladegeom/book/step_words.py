"""What a step says of each number beside the number itself: note and source, long sources once at the step's end."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Self

from bladegeom.book.like_numbers import STAR, LikeNumbers, by_place, starred, unit_word
from bladegeom.workshop.operation import PRACTICE, Number, Operation


@dataclass(frozen=True, kw_only=True)
class StepWords:
    """The words of one step.

    Args:
        again: Sources that more than one of its lines names, which are told once.
    """

    again: tuple[str, ...]

    @classmethod
    def of(cls, operation: Operation) -> Self:
        """For a step."""
        times = (*operation.rests[:1], *operation.waits[:1])
        groups = by_place((*operation.numbers, *times, *operation.blanks))
        # Numbers of one thing stand in one line, with their source once.
        named = dict.fromkeys((group.what.partition(", ")[0], _source(group.first)) for group in groups)
        counts = Counter(source for _, source in named)
        return cls(again=tuple(source for source, count in counts.items() if count > 1 and len(source) > 1))

    def aside(self, number: Number) -> str:
        """Note and source, in brackets; a star alone needs none."""
        source = _source(number)
        if source in self.again:
            source = f"source {self.again.index(source) + 1}"
        told = [text for text in (number.note, source) if text and text != STAR]
        star = STAR if source == STAR else ""
        return f"{star} ({'; '.join(told)})" if told else star

    def line(self, group: LikeNumbers) -> str:
        """A number that is read: what, value, limits, note and source."""
        return f"{group.what}{self.aside(group.first)}: {_value(group)}"

    def asked(self, group: LikeNumbers) -> str:
        """Over or beside a blank: what is written, with its value, limits, note and source."""
        number = group.first
        unit = f", {unit_word(number)}" if group.places and not (group.value or group.limits) else ""
        told = ", ".join(dict.fromkeys(text for text in (group.value, group.limits) if text))
        return f"{group.what}{unit}{self.aside(number)}{f': {told}' if told else ''}"

    def lines(self, groups: Sequence[LikeNumbers]) -> Iterator[str]:
        """Numbers that are read; those of one thing that share a source stand in one line."""

        def thing(group: LikeNumbers) -> tuple[str, str]:
            number = group.first
            head, comma, _ = group.what.partition(", ")
            return (head, self.aside(number)) if comma and not group.places and not number.note else ("", group.what)

        for (head, aside), alike in itertools.groupby(groups, key=thing):
            told = tuple(alike)
            if len(told) == 1:
                yield self.line(told[0])
            else:
                parts = (f"{group.what.removeprefix(f'{head}, ')} {_value(group)}" for group in told)
                yield f"{head}{aside}: {', '.join(parts)}"

    @property
    def sources(self) -> Iterator[str]:
        """Told at the step's end."""
        yield from (f"source {i}: {source}" for i, source in enumerate(self.again, start=1))


def _source(number: Number) -> str:
    """With the star for what is common practice."""
    return STAR if number.source == PRACTICE else starred(number.source).strip()


def _value(group: LikeNumbers) -> str:
    """With where it holds, and its limits."""
    at = f" at {', '.join(group.places)}" if group.places else ""
    value = f"{group.value}{at}" if group.value else "; ".join(group.titles)
    return ", ".join(dict.fromkeys(text for text in (value, group.limits) if text))

"""Steps of the drill card as rows on paper: what is done alike at both scales, or at several holes, is one row."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bladegeom.drilling.row import CardRow, Phase

_RUN = 3
"""So many names that follow each other are told by the first and the last."""


@dataclass(frozen=True, kw_only=True)
class Numbered:
    """A step of the card.

    Args:
        row: What it says.
        label: What tells it from those in the same row on paper; nothing where it stands alone.
    """

    row: CardRow
    label: str = ""

    @property
    def number(self) -> int:
        """Of the step."""
        return self.row.number


@dataclass(frozen=True, kw_only=True)
class PaperRow:
    """One row on paper.

    Args:
        steps: One, or several that read alike.
        order: In which order steps of this row and of the next ones are done, where it is not row by row.
    """

    steps: tuple[Numbered, ...]
    order: str = ""

    @property
    def row(self) -> CardRow:
        """Of the first step."""
        return self.steps[0].row

    @property
    def part(self) -> str:
        """What is worked on."""
        return ", then ".join(dict.fromkeys(step.row.part for step in self.steps))

    @property
    def holes(self) -> tuple[str, ...]:
        """Of all steps."""
        return tuple(dict.fromkeys(name for step in self.steps for name in step.row.holes))

    @property
    def others(self) -> tuple[str, ...]:
        """What is done at a later step where it reads differently from the first one."""
        return tuple(
            f"{step.label}: {step.row.operation}" for step in self.steps if step.row.operation != self.row.operation
        )

    @property
    def note(self) -> str:
        """What to mind: what all say once, then what each says itself."""
        said = [_sentences(step.row.note) for step in self.steps]
        common = [text for text in said[0] if all(text in other for other in said)]
        own = (
            f"{step.label}: {' '.join(text for text in texts if text not in common)}"
            for step, texts in zip(self.steps, said, strict=True)
            if set(texts) - set(common)
        )
        return " ".join((*common, *own))


def _sentences(note: str) -> list[str]:
    return re.split(r"(?<=[.?]) (?=[A-Z])", note)


@dataclass(frozen=True, kw_only=True)
class DrillStep:
    """Rows that follow each other and do the same: their words stand over them once.

    Args:
        rows: One or more.
    """

    rows: tuple[PaperRow, ...]

    @property
    def first(self) -> PaperRow:
        """The first of them."""
        return self.rows[0]

    @property
    def phase(self) -> Phase:
        """Whether the steel is soft or hard."""
        return self.first.row.phase

    @property
    def note(self) -> str:
        """What all of them mind; nothing where each has its own."""
        notes = {row.row.note for row in self.rows}
        return notes.pop() if len(notes) == 1 else ""


def blocks(rows: Sequence[PaperRow]) -> Iterator[DrillStep]:
    """All rows, in working order."""
    for _, alike in itertools.groupby(rows, key=_does):
        yield DrillStep(rows=tuple(alike))


def _does(row: PaperRow) -> tuple[object, ...]:
    """What is alike in all rows of a block; a depth stop, and a row of several steps, is a block of its own."""
    alone = row.steps[0].number if row.row.depth is not None or len(row.steps) > 1 else 0
    return row.row.phase, row.part, row.row.operation, alone


def paper_rows(steps: Sequence[CardRow]) -> tuple[PaperRow, ...]:
    """All steps, in working order."""
    numbered = [Numbered(row=row) for row in steps]
    return tuple(_hole_by_hole(tuple(_both_scales(numbered))))


def _both_scales(steps: Sequence[Numbered]) -> Iterator[PaperRow]:
    """Both scales in one row where the left one is drilled as the right one was."""
    runs = [list(run) for _, run in itertools.groupby(steps, key=lambda step: step.row.part)]
    while runs:
        run, *runs = runs
        parts = [each[0].row.part for each in (run, *runs[:1])]
        if parts == ["right scale", "left scale"] and list(map(_told, run)) == list(map(_told, runs[0])):
            left, *runs = runs
            yield from (_labelled((a, b), ("right", "left")) for a, b in zip(run, left, strict=True))
        else:
            yield from (PaperRow(steps=(step,)) for step in run)


def _told(step: Numbered) -> tuple[object, ...]:
    row = step.row
    return row.holes, row.tool, row.phase, row.depth, row.face, row.note, row.checks, bool(row.makes)


def _hole_by_hole(rows: Sequence[PaperRow]) -> Iterator[PaperRow]:
    """Holes in one row that are worked on one after the other with the same tools."""
    segments = [tuple(run) for _, run in itertools.groupby(rows, key=_where)]
    for _, group in itertools.groupby(segments, key=lambda segment: tuple(map(_worked, segment))):
        alike = list(group)
        if len(alike) == 1:
            yield from alike[0]
            continue
        turns = (", ".join(f"{row.steps[0].number}" for row in segment) for segment in alike)
        order = f"In this order: {'; '.join(turns)}." if len(alike[0]) > 1 else ""
        for i, same in enumerate(zip(*alike, strict=True)):
            labels = [names_told(row.holes) for row in same]
            yield _labelled([row.steps[0] for row in same], labels, order="" if i else order)


def _where(row: PaperRow) -> tuple[object, ...]:
    """What is alike at one hole; a row of both scales stays as it is."""
    return row.part, row.holes, row.steps[0].number if len(row.steps) > 1 or not row.holes else 0


def _worked(row: PaperRow) -> tuple[object, ...]:
    step = row.row
    alone = row.steps[0].number if len(row.steps) > 1 or step.depth is None else 0
    return row.part, step.operation, step.tool, step.phase, step.face, alone


def _labelled(steps: Sequence[Numbered], labels: Sequence[str], *, order: str = "") -> PaperRow:
    told = zip(steps, labels, strict=True)
    return PaperRow(steps=tuple(Numbered(row=step.row, label=label) for step, label in told), order=order)


def names_told(names: Sequence[str]) -> str:
    """Short names, of a run its first and its last.

    >>> names_told(("F1", "F2", "L1", "L2", "L3", "T1"))
    'F1, F2, L1 to L3, T1'
    """
    told = list[str]()
    for _, group in itertools.groupby(enumerate(names), key=lambda item: (item[1][0], int(item[1][1:]) - item[0])):
        run = [name for _, name in group]
        told += [f"{run[0]} to {run[-1]}"] if len(run) >= _RUN else run
    return ", ".join(told)

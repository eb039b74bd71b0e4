"""What changed in the work that a maker settles and in the steps that are changed, in words."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence

from bladegeom.studies.field_words import changed_fields, field_name
from bladegeom.workshop.operation import Operation
from bladegeom.workshop.steps import AddStep, DropStep, MoveStep, StepChange
from bladegeom.workshop.work import Work


def work_difference(old: tuple[Work, Sequence[StepChange]], new: tuple[Work, Sequence[StepChange]]) -> tuple[str, ...]:
    """A sentence for each thing that is settled otherwise; none where all is the same.

    Args:
        old: The work and the changes of steps as they were.
        new: As they are.
    """
    (was, before), (now, after) = old, new
    return (*changed_fields(was, now, "work"), *_steps(before, after))


def _steps(before: Sequence[StepChange], after: Sequence[StepChange]) -> Iterator[str]:
    own = {change.operation.key: change.operation for change in before if isinstance(change, AddStep)}
    was, now = [_told(change) for change in before], [_told(change) for change in after]
    for change in after:
        old = own.get(change.operation.key) if isinstance(change, AddStep) else None
        if old is not None and isinstance(change, AddStep):
            yield from _operation(old, change.operation)
        if _told(change) not in was:
            yield f"steps: {_told(change)}"
    yield from (f"steps: no longer {told}" for told in was if told not in now)
    if was != now and sorted(was) == sorted(now):
        yield "steps: the same changes, made in another order"


def _operation(old: Operation, new: Operation) -> Iterator[str]:
    """What differs between two steps of one key."""
    for field in dataclasses.fields(Operation):
        a, b = getattr(old, field.name), getattr(new, field.name)
        yield from changed_fields(a, b, f"step {old.key}, {field_name(field.name)}")


def _told(change: StepChange) -> str:
    if isinstance(change, DropStep):
        return f"{change.key} dropped{f' ({change.why})' if change.why else ''}"
    place = f"before {change.before}" if change.before else f"after {change.after}"
    if isinstance(change, MoveStep):
        return f"{change.key} moved, {place}"
    return f"{change.operation.key} added, {place}"

"""What a maker changes in the order of work: steps added, moved, dropped."""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.workshop.operation import Operation


@declared("AddStep", example="AddStep(operation=..., after='surface')")
class AddStep:
    """A step of the maker's own.

    Args:
        operation: With a key that no other step has.
        before: Key of the step that it stands in front of; or
        after: of the step that it stands behind.

    >>> from bladegeom import Operation, route
    >>> own = Operation(key="logo", title="Engrave the logo", tasks=("engrave",))
    >>> added = AddStep(operation=own, after="surface")
    >>> "logo" in route(knife, steps=(added,)).keys
    True
    """

    operation: Operation
    before: str = ""
    after: str = ""

    def __post_init__(self) -> None:
        _require_one("AddStep", self.before, self.after)


@declared("MoveStep", example="MoveStep(key='etch', after='surface')")
class MoveStep:
    """A step that is done at another time.

    Args:
        key: Of the step.
        before: Key of the step that it comes to stand in front of; or
        after: of the step that it comes to stand behind.

    >>> from bladegeom import route
    >>> moved = route(knife, steps=(MoveStep(key="surface", before="heat_treat"),)).keys
    >>> moved.index("surface") < moved.index("heat_treat")
    True
    """

    key: str
    before: str = ""
    after: str = ""

    def __post_init__(self) -> None:
        _require_one("MoveStep", self.before, self.after)
        if self.key in (self.before, self.after):
            raise ParameterError("MoveStep: key", repr(self.key), "be another step than the one beside which it goes")


@declared("DropStep", example='DropStep(key="template")')
class DropStep:
    """A step that is not done.

    Args:
        key: Of the step.
        why: Printed on the card.

    >>> from bladegeom import route
    >>> "template" in route(knife, steps=(DropStep(key="template", why="cut by the shop"),)).keys
    False
    """

    key: str
    why: str = ""


StepChange = AddStep | MoveStep | DropStep
"""One change; a later one sees what the earlier ones have done."""


def changed(operations: Sequence[Operation], changes: Sequence[StepChange]) -> tuple[Operation, ...]:
    """The steps after all changes, in their order.

    Raises:
        UnknownNameError: A change names a step that is not there.
        ParameterError: A key is given twice.
    """
    steps = list(operations)
    for change in changes:
        steps = _after(steps, change)
    return tuple(steps)


def _after(steps: list[Operation], change: StepChange) -> list[Operation]:
    if isinstance(change, AddStep):
        if any(step.key == change.operation.key for step in steps):
            raise ParameterError("AddStep: operation", repr(change.operation.key), "have a key that no other step has")
        return _inserted(steps, change.operation, change.before, change.after)
    found = steps[_index(steps, change.key)]
    rest = [step for step in steps if step is not found]
    return rest if isinstance(change, DropStep) else _inserted(rest, found, change.before, change.after)


def _inserted(steps: list[Operation], operation: Operation, before: str, after: str) -> list[Operation]:
    at = _index(steps, before) if before else _index(steps, after) + 1
    return [*steps[:at], operation, *steps[at:]]


def _index(steps: list[Operation], key: str) -> int:
    keys = [step.key for step in steps]
    if key not in keys:
        raise UnknownNameError("step of the work", str(key), keys)
    return keys.index(key)


def _require_one(what: str, before: str, after: str) -> None:
    if bool(before) == bool(after):
        raise ParameterError(
            f"{what}: place",
            "told by both before and after" if before else "not told",
            "be told by before or by after, such as after='surface'",
        )

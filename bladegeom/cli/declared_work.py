"""The work that a script settles besides its design: WORK and STEPS, and the route that follows."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from bladegeom.cli.script import Design
from bladegeom.knife.knife import Knife
from bladegeom.order.order import Order
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.told import told
from bladegeom.workshop.operation import Operation
from bladegeom.workshop.route import Route, route
from bladegeom.workshop.steps import StepChange
from bladegeom.workshop.work import Work

WORK: Final = "WORK"
STEPS: Final = "STEPS"
"""What the work, and the changes in its order, are called in a script."""


def settles_work(design: Design) -> bool:
    """Whether the script says anything of the work."""
    return work_of(design) is not None or bool(steps_of(design))


def work_of(design: Design) -> Work | None:
    """What the script holds as WORK; None where it holds nothing.

    Raises:
        ScriptError: It is something else than a Work; its line is named.
    """
    held = design.folder.held(WORK)
    require_named(design, WORK, lambda one: isinstance(one, Work))
    if held is None or isinstance(held, Work):
        return held
    raise design.folder.refused(WORK, f"{WORK} is {told(held)}: write {WORK} = Work(finish='satin', ...)")


def steps_of(design: Design) -> tuple[StepChange, ...]:
    """What the script holds as STEPS; none where it holds nothing.

    Raises:
        ScriptError: It is no tuple of changes; its line is named.
    """
    held = design.folder.held(STEPS)
    require_named(design, STEPS, _are_steps)
    if held is None:
        return ()
    if not isinstance(held, tuple | list):
        way_out = f"write {STEPS} = (DropStep(key='template', why='cut by the shop'),), with its comma"
        raise design.folder.refused(STEPS, f"{STEPS} is {told(held)}, and no row of changes: {way_out}")
    for one in held:
        if not isinstance(one, StepChange):
            own = "AddStep(operation=..., after='surface')"
            way_out = f"write {own} round it" if isinstance(one, Operation) else f"write {own}, MoveStep or DropStep"
            raise design.folder.refused(STEPS, f"{STEPS} holds {told(one)}, which changes no step: {way_out}")
    return tuple(held)


def require_named(design: Design, name: str, is_meant: Callable[[object], bool]) -> None:
    """Refuse what is meant to be read and is not: it stands under another name.

    Raises:
        ScriptError: The script holds such a thing, and nothing under the name by which it is read; its line is named.
    """
    if (other := design.folder.misnamed(name, is_meant)) is not None:
        raise design.folder.refused(other, f"{other} is read by nobody: call it {name}, or take it out")


def _are_steps(held: object) -> bool:
    return isinstance(held, tuple | list) and bool(held) and all(isinstance(one, StepChange) for one in held)


def route_of(design: Design, knife: Knife, order: Order | None) -> Route:
    """The route of a knife, with what the script settles.

    Raises:
        ScriptError: WORK or STEPS is of another kind, names a step that is not there or a treatment of another steel.
    """
    work, steps = work_of(design), steps_of(design)
    try:
        return route(knife, order, work=work, steps=steps)
    except (UnknownNameError, ParameterError) as error:
        if isinstance(error, UnknownNameError) and error.kind == "step of the work":
            raise design.folder.refused(STEPS, f"{STEPS}: {error}") from error
        name = error.name.partition(":")[0]
        if name in _HELD_AS:
            raise design.folder.refused(_HELD_AS[name], str(error)) from error
        raise


_HELD_AS: Final = {"work": WORK, "AddStep": STEPS}
"""Where that stands which an error of a declared value names."""

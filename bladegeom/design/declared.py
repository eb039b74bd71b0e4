"""What a script holds besides its design: ORDER, in it or beside it, what was agreed, WORK and STEPS."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable, Iterator, Mapping
from typing import Final

from bladegeom import agreement
from bladegeom.agreement.agreed import Agreed, Spoiled
from bladegeom.design.script import Script
from bladegeom.order.order import Order
from bladegeom.order.order_toml import read_order
from bladegeom.quantities.errors import BladegeomError, ParameterError, UnknownNameError
from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.quantities.paths import agreed_file, order_file
from bladegeom.quantities.told import told
from bladegeom.settings.read_setting import key_named, read_setting
from bladegeom.settings.settings import Settings
from bladegeom.workshop.operation import Operation
from bladegeom.workshop.steps import StepChange
from bladegeom.workshop.work import Work

ORDER: Final = "ORDER"
WORK: Final = "WORK"
STEPS: Final = "STEPS"
SETTINGS: Final = "SETTINGS"
"""What order, work, the changes in the order of work, and settings are called in a script."""

_IN_SCRIPT: Final = ("paper", "units", "printer", "price_list", "maker")
"""Settings that a script has no other way to tell."""


def order_of(script: Script) -> Order | None:
    """The order that a script holds as ORDER, or the TOML file beside it; None where there is neither.

    Raises:
        ScriptError: There are both, ORDER is something else, or the file says something that no order can say.
    """
    beside = order_file(script.folder.script)
    held = script.folder.held(ORDER)
    require_named(script, ORDER, lambda other_told: isinstance(other_told, Order))
    if held is not None and beside.exists():
        message = f"the script holds an {ORDER}, and {beside.name} lies beside it: keep one of them, so that they agree"
        raise script.folder.refused(ORDER, message)
    if beside.exists():
        return read_order(beside)
    if held is not None and not isinstance(held, Order):
        message = f"{ORDER} is {told(held)}, not an Order: write {ORDER} = Order(...)"
        raise script.folder.refused(ORDER, message)
    return held


def agreed_of(script: Script) -> Agreed | Spoiled | None:
    """What was agreed, from the file beside a script; None where there is none.

    A file that holds no agreement stops nothing here, so that a new one can be written over it; it is an error of the
    design.
    """
    beside = agreed_file(script.folder.script)
    if not os.path.lexists(beside):
        return None
    try:
        return agreement.read_agreed(beside)
    except UnreadableFileError as error:
        # Without the folder, since papers may say it: they are the same wherever the script lies.
        line = "" if error.line is None else f"line {error.line}: "
        return Spoiled(beside.name, f"{line}{error.reason}")


def work_of(script: Script) -> Work | None:
    """What the script holds as WORK; None where it holds nothing.

    Raises:
        ScriptError: It is something else than a Work; its line is named.
    """
    held = script.folder.held(WORK)
    require_named(script, WORK, lambda other_told: isinstance(other_told, Work))
    if held is None or isinstance(held, Work):
        return held
    raise script.folder.refused(WORK, f"{WORK} is {told(held)}: write {WORK} = Work(finish='satin', ...)")


def steps_of(script: Script) -> tuple[StepChange, ...]:
    """What the script holds as STEPS; none where it holds nothing.

    Raises:
        ScriptError: It is no tuple of changes; its line is named.
    """
    held = script.folder.held(STEPS)
    require_named(script, STEPS, _are_steps)
    if held is None:
        return ()
    if not isinstance(held, tuple | list):
        way_out = f"write {STEPS} = (DropStep(key='template', why='cut by the shop'),), with its comma"
        raise script.folder.refused(STEPS, f"{STEPS} is {told(held)}, and no row of changes: {way_out}")
    for change in held:
        if not isinstance(change, StepChange):
            own = "AddStep(operation=..., after='surface')"
            way_out = f"write {own} round it" if isinstance(change, Operation) else f"write {own}, MoveStep or DropStep"
            raise script.folder.refused(STEPS, f"{STEPS} holds {told(change)}, which changes no step: {way_out}")
    return tuple(held)


def settings_of(script: Script) -> Settings:
    """The settings of a script: those that hold while it runs, with what it holds as SETTINGS, but for options.

    Raises:
        ScriptError: SETTINGS is no dictionary, or says what no setting can say; its line is named.
    """
    held = script.folder.held(SETTINGS)
    if held is None:
        return script.settings
    if not isinstance(held, Mapping):
        raise script.folder.refused(SETTINGS, f"{SETTINGS} is {told(held)}: write {SETTINGS} = {{'paper': 'Letter'}}")
    values: dict[str, object] = {}
    for key, written in held.items():
        try:
            values[key] = read_setting(key_named(str(key)), written, folder=script.folder.path)
        except BladegeomError as error:
            raise script.folder.refused(SETTINGS, f"{SETTINGS}: {error}") from error
        if key not in _IN_SCRIPT:
            message = f"{SETTINGS}: say {key} where the knife is declared; here stand {', '.join(_IN_SCRIPT)} alone"
            raise script.folder.refused(SETTINGS, message)
    asked = script.settings.sources
    return script.settings.changed({key: values[key] for key in values if asked.get(key) != "option"}, "script")


def require_named(script: Script, name: str, is_meant: Callable[[object], bool]) -> None:
    """Refuse what is meant to be read and is not: it stands under another name.

    Raises:
        ScriptError: The script holds such a thing, and nothing under the name by which it is read; its line is named.
    """
    if (other := script.folder.misnamed(name, is_meant)) is not None:
        raise script.folder.refused(other, f"{other} is read by nobody: call it {name}, or take it out")


def _are_steps(held: object) -> bool:
    return isinstance(held, tuple | list) and bool(held) and all(isinstance(change, StepChange) for change in held)


@contextlib.contextmanager
def told_where_declared(script: Script) -> Iterator[None]:
    """While this lasts, what is wrong with the work that a script settles is told with the line that settles it.

    Raises:
        ScriptError: WORK or STEPS names a step that is not there, or a treatment of another steel.
    """
    try:
        yield
    except (UnknownNameError, ParameterError) as error:
        if isinstance(error, UnknownNameError) and error.kind == "step of the work":
            raise script.folder.refused(STEPS, f"{STEPS}: {error}") from error
        name = error.name.partition(":")[0]
        if name in _HELD_AS:
            raise script.folder.refused(_HELD_AS[name], str(error)) from error
        raise


_HELD_AS: Final = {"work": WORK, "AddStep": STEPS}
"""Where that stands which an error of a declared value names."""

"""Other numbers put into a script as the defaults of its design."""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path

from bladegeom.design.default_text import with_defaults
from bladegeom.design.override import is_count, named_choices, read_value
from bladegeom.design.script import Script, load_script, script_of
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.file_errors import ScriptError
from bladegeom.quantities.paths import path_of
from bladegeom.quantities.told import told
from bladegeom.writers.files import replace_text


def write_defaults(path: str | Path, **values: object) -> tuple[str, ...]:
    """Put values into a script as the defaults of its ``design()``; every other byte of it stays as it is.

    A default that is written as ``inch("3/16")`` stays so where its new value is given in inches; otherwise it becomes
    a plain number. The script is written whole or not at all, and only if it then has these defaults.

    Args:
        path: The script.
        values: By the names of parameters: numbers, or texts as on the command line, such as "4-3/4 in".

    Returns:
        What was written, in words; empty where the script had these defaults already.

    Raises:
        UnknownNameError: A parameter that the design does not have.
        ParameterError: A value that cannot be what the default is.
        ScriptError: The script cannot be run, or its defaults cannot be replaced without changing something else.
        ExportError: The file cannot be written, or is not what was read.

    >>> script = folder / "small_knife.py"
    >>> _ = script.write_text('''
    ... from bladegeom import inch
    ... def design(blade_length=110.0, thickness=inch("5/32")):  # the customer asked for this
    ...     ...
    ... ''')
    >>> write_defaults(script, blade_length=114, thickness="3/16 in")
    ('blade_length: 110.0 becomes 114.0', 'thickness: inch("5/32") becomes inch("3/16")')
    """
    script = load_script(path_of("write_defaults", path))
    for name in values:
        if name not in script.parameters:
            raise UnknownNameError("parameter", name, script.parameters)
    typed = {name: value for name, value in values.items() if isinstance(value, str)}
    return put_into(script, {name: _value(script, name, value) for name, value in values.items()}, typed)


def put_into(script: Script, values: Mapping[str, object], typed: Mapping[str, str]) -> tuple[str, ...]:
    """The same with a script that is read already, and values that are read.

    Args:
        script: As it was read; if the file is another now, nothing is written.
        values: By the names of parameters.
        typed: What a maker wrote for some of them.
    """
    moved = {name: value for name, value in values.items() if value != script.parameters[name].default}
    if not moved:
        return ()
    new, edits = with_defaults(script, moved, typed)
    new_script = script_of(script.folder.script, new, script.settings)
    _require_taken(script, new_script, moved)
    _require_same_knife(script, new_script, moved)
    replace_text(script.folder.script, script.folder.source, new)
    return tuple(edit.words for edit in edits)


def _require_taken(script: Script, new: Script, moved: Mapping[str, object]) -> None:
    """That the new script has the new defaults, and the others as they were."""
    for name, parameter in script.parameters.items():
        wanted, found = moved.get(name, parameter.default), new.parameters.get(name)
        if found is None or (_is_plain(wanted) and not _is_same(found.default, wanted)):
            got = f"takes {name} away" if found is None else f"sets {name} again, to {told(found.default)}"
            message = f"something in the script {got}; the script was left as it is, change it there by hand"
            raise ScriptError(str(script.folder.script), message)


def _require_same_knife(script: Script, new: Script, moved: Mapping[str, object]) -> None:
    """That the new script makes by itself the knife that the values make, where they make one at all.

    A default may do more than be a number: it may set a name, or be asked for elsewhere in the script.
    """
    try:
        wanted, _ = script.knife(moved)
    except ScriptError:
        # What is shown is no knife; other defaults may well be the way out.
        return
    made, _ = new.knife()
    if revision_id(made) != revision_id(wanted):
        message = f"with {', '.join(moved)} as the default the script makes another knife than with the same value "
        message += "given to design(); the script was left as it is, change it there by hand"
        raise ScriptError(str(script.folder.script), message)


def _is_plain(value: object) -> bool:
    return isinstance(value, bool | int | float | str)


def _is_same(found: object, wanted: object) -> bool:
    # A number that is none is not even equal to itself.
    return found == wanted or (found != found and wanted != wanted)


def _value(script: Script, name: str, value: object) -> object:
    """A value that is no text as it stands, if it is of the default's kind."""
    parameter = script.parameters[name]
    if isinstance(value, str):
        return read_value(parameter, value)
    default = parameter.default
    if words := named_choices(parameter):
        fits, must = value in words.values(), f"be one of {', '.join(words)}"
    elif isinstance(default, bool):
        fits, must = isinstance(value, bool), "be True or False"
    elif is_count(parameter):
        fits, must = isinstance(value, int) and not isinstance(value, bool), "be a whole number"
    else:
        is_number = isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
        fits, must = is_number and isinstance(default, int | float), f"be of the kind of its default, {told(default)}"
    if not fits:
        raise ParameterError(name, value, must, shown=told(value))
    return float(value) if isinstance(default, float) else value  # type: ignore[arg-type]  # it is a number

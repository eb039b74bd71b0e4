"""Values of settings as a file, a script or an option writes them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

from bladegeom.drawing.printer import Printer, printer_of
from bladegeom.knife.rules import Process
from bladegeom.quantities.declared import checked
from bladegeom.quantities.drills import DRILL_INDEXES, Drill, drill, drill_index
from bladegeom.quantities.errors import FieldError, ParameterError, UnknownNameError
from bladegeom.quantities.field_rules import number_or_length
from bladegeom.settings.keys import ALLOWED, groups, keys

NOTHING: Final = "none"
"""Said in place of a value, for what may be left out: no printer, no hand."""


def read_setting(key: str, written: object, *, folder: Path) -> object:
    """A value as its field keeps it.

    Args:
        key: Of a setting.
        written: In TOML or in Python: a length may be a text with its unit, a process its name.
        folder: From which names of files are told.

    Raises:
        ParameterError: No value of that setting; what may stand there is told.
        UnknownNameError: No such paper, drill, process or table.
    """
    read: Any = written
    if keys()[key].may_be_none and (written is None or written == NOTHING):
        return None
    if key in ("price_list", "stockroom"):
        read = folder / Path(_text(key, written)).expanduser()
        # A word without an ending that names no file here is looked for in the stockroom.
        if key == "price_list" and read.name == written and not read.suffix and not read.exists():
            read = Path(read.name)
    elif key in _READ:
        read = _READ[key](key, written)
    elif keys()[key].is_length:
        read = _length(key, written)
    return checked(f"settings: {key}", read, keys()[key].kind)


def key_named(key: str, group: str = "") -> str:
    """The key itself.

    Raises:
        UnknownNameError: No setting has it; those of the same table are suggested.
    """
    if key not in keys():
        table = key if key in groups() else group
        inside = [each for each in (*keys(), *groups()) if each.rpartition(".")[0] == table]
        raise UnknownNameError("setting", key, inside)
    return key


def _text(key: str, written: object) -> str:
    if not isinstance(written, str) or not written.strip():
        raise ParameterError(f"settings: {key}", written, f"be {ALLOWED[key]}")
    return written


def _list(key: str, written: object) -> tuple[object, ...]:
    if not isinstance(written, list | tuple):
        raise ParameterError(f"settings: {key}", written, f"be {ALLOWED[key]}")
    return tuple(written)


def _drills(key: str, written: object) -> tuple[Drill, ...]:
    """Thinnest first; each once."""
    names = (written,) if isinstance(written, str) else _list(key, written)
    out: dict[str, Drill] = {}
    for name in names:
        if isinstance(name, bool) or not isinstance(name, str | int | float):
            raise ParameterError(f"settings: {key}", name, f"be {ALLOWED[key]}")
        index = isinstance(name, str) and name.strip().lower() in DRILL_INDEXES
        out |= {each.name: each for each in (drill_index(str(name)) if index else (drill(name),))}
    return tuple(sorted(out.values(), key=lambda each: each.diameter))


def _printer(key: str, written: object) -> object:
    return written if isinstance(written, Printer) else printer_of(_text(key, written))


def _process(key: str, written: object) -> object:
    return Process.named(_text(key, written))


def _lengths(key: str, written: object) -> object:
    return tuple(_length(key, each) for each in _list(key, written))


def _length(key: str, written: object) -> object:
    try:
        return number_or_length(written)
    except FieldError as refused:
        raise ParameterError(f"settings: {key}", repr(written), refused.must) from refused


_READ: Final[Mapping[str, Callable[[str, object], object]]] = {
    "printer": _printer,
    "shop.process": _process,
    "shop.contact_wheels": _lengths,
    "shop.drills": _drills,
    "shop.lightening_sizes": _drills,
}

"""Names that a maker may have meant instead of one that Python does not know."""

from __future__ import annotations

import difflib
import importlib
import inspect
import re
from collections.abc import Callable, Iterable, Mapping
from types import TracebackType

from bladegeom import profiles as shelf

_KEYWORD = re.compile(r"([\w.<>]+)\(\) got an unexpected keyword argument '(\w+)'")
_IMPORT = re.compile(r"cannot import name '(\w+)' from 'bladegeom")


def suggestion(error: BaseException) -> str:
    """The nearest known name as a question, or nothing."""
    text = str(error)
    known: Iterable[str] = ()
    name = ""
    if "did you mean" in text.lower():
        return ""
    if isinstance(error, NameError):
        name, known = error.name or "", {*_around(error.__traceback__), *_library()}
    elif isinstance(error, ImportError) and (found := _IMPORT.match(text)):
        name, known = found[1], _library()
    elif isinstance(error, TypeError) and (found := _KEYWORD.match(text)):
        name, known = found[2], _keywords(found[1], error.__traceback__)
    close = difflib.get_close_matches(name, sorted(known), n=1, cutoff=0.7)
    return f"; did you mean '{close[0]}'?" if close else ""


def _keywords(callee: str, place: TracebackType | None) -> tuple[str, ...]:
    """Names of the parameters of what was called, told by its qualified name."""
    name = callee.removesuffix(".__init__").rpartition(".")[2]
    called = _around(place).get(name) or _library().get(name)
    if not callable(called):
        return ()
    try:
        return tuple(inspect.signature(called).parameters)
    except (TypeError, ValueError):
        return ()


def _around(place: TracebackType | None) -> Mapping[str, object]:
    """What had a name where the error was raised."""
    if place is None:
        return {}
    while place.tb_next is not None:
        place = place.tb_next
    return {**place.tb_frame.f_globals, **place.tb_frame.f_locals}


def _library() -> dict[str, Callable[..., object]]:
    """Everything that a script can import from the library and its profiles."""
    library = importlib.import_module("bladegeom")
    profiles = [shelf.get(name) for name in shelf.names()]
    named = {name: getattr(library, name) for name in library.__all__}
    return {**named, **{profile.__name__: profile for profile in profiles}}

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
_CALL = re.compile(
    r"([\w.<>]+)\(\) (got an unexpected keyword argument|takes 1 positional argument but|"
    r"missing \d+ required keyword-only arguments?:) ?(.*)"
)
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


def in_plain_words(error: BaseException) -> str:
    """What is wrong where a script calls or imports something of the library otherwise than it can be; or nothing."""
    text = str(error)
    if isinstance(error, ImportError) and (found := _IMPORT.match(text)):
        return f"bladegeom has no {found[1]!r}"
    if not isinstance(error, TypeError) or not (found := _CALL.match(text)):
        return ""
    name, wrong = _short(found[1]), found[2]
    called = _called(found[1], error.__traceback__)
    if not isinstance(called, type) or not called.__module__.startswith("bladegeom."):
        return ""
    if unknown := _KEYWORD.match(text):
        return f"{name}(...) has no {unknown[2]!r}"
    like = getattr(called, "__example__", "") or f"{name}({next(iter(inspect.signature(called).parameters))}=...)"
    lacks = f"lacks {found[3]}" if wrong.startswith("missing") else "takes its values by name"
    return f"{name}(...) {lacks}; write it like {like}"


def _short(callee: str) -> str:
    return callee.removesuffix(".__init__").rpartition(".")[2]


def _called(callee: str, place: TracebackType | None) -> object:
    """What was called, by its qualified name."""
    return _around(place).get(_short(callee)) or _library().get(_short(callee))


def _keywords(callee: str, place: TracebackType | None) -> tuple[str, ...]:
    """Names of the parameters of what was called, told by its qualified name."""
    called = _called(callee, place)
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

"""What follows from a knife and is asked for again and again, computed once and remembered by the knife itself."""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Callable
from typing import Any, TypeVar, cast

import numpy as np

from bladegeom.drawing.drawing import Drawing
from bladegeom.knife.knife import Knife
from bladegeom.quantities.declared import checked
from bladegeom.quantities.unit_order import first_unit

_Function = TypeVar("_Function", bound=Callable[..., Any])

_STORE = "_memo"

_Name = tuple[str, str]
"""Module and name of a function that remembers."""

_HANGS_ON: dict[_Name, Callable[[Knife], object]] = {}
"""What results hang on where that is less than the whole knife; filled while modules are imported, and not after."""


def memo(compute: _Function) -> _Function:
    """A function of a knife, and of further values that have a hash, that computes each result once.

    As with a cached property the result lives as long as the knife, and a changed knife is a new one. Nobody
    can change the arrays in it. Whatever else is given in place of a knife is refused. It is called as the function is,
    the knife by its place or by its name. Results hold words with lengths: each unit that is told first has its own.
    """
    name = compute.__name__

    @functools.wraps(compute)
    def once(knife: Knife, *rest: Any, **named: Any) -> Any:
        checked(f"{name}: knife", knife, Knife)
        store: dict[Any, Any] = knife.__dict__.setdefault(_STORE, {})
        key = (compute.__module__, compute.__qualname__, first_unit(), rest, tuple(named.items()))
        if key not in store:
            store[key] = _fixed(compute(knife, *rest, **named))
        return store[key]

    return cast("_Function", once)


def memo_of(hangs_on: Callable[[Knife], object]) -> Callable[[_Function], _Function]:
    """The same for a function that hangs on some of a knife alone, which a changed knife may take over.

    Args:
        hangs_on: All of the knife that the function looks at; knives in which that is equal have equal results.
    """

    def declared(compute: _Function) -> _Function:
        _HANGS_ON[(compute.__module__, compute.__qualname__)] = hangs_on
        return memo(compute)

    return declared


def taking_over(changed: Knife, was: Knife) -> Knife:
    """A changed knife, which now knows of the one it was what its change does not touch; nothing is computed."""
    known: dict[Any, Any] = dict(was.__dict__.get(_STORE, {}))  # another thread may add to it meanwhile
    alike = {name for name, hangs_on in _HANGS_ON.items() if hangs_on(changed) == hangs_on(was)}
    own: dict[Any, Any] = changed.__dict__.setdefault(_STORE, {})
    for key, value in known.items():
        if key[:2] in alike:
            own.setdefault(key, value)
    return changed


def _fixed(value: Any) -> Any:
    """The value, its arrays read-only: who writes into one would change what every sheet and file says.

    Those of a drawing are so already.
    """
    if isinstance(value, np.ndarray):
        value.flags.writeable = False
    elif isinstance(value, tuple):
        for item in value:
            _fixed(item)
    elif dataclasses.is_dataclass(value) and not isinstance(value, Knife | Drawing):
        for field in dataclasses.fields(value):
            _fixed(getattr(value, field.name))
    return value

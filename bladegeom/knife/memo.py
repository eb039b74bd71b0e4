"""What follows from a knife and is asked for again and again, computed once and remembered by the knife itself."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any, Concatenate, ParamSpec, TypeVar, cast

from bladegeom.knife.knife import Knife
from bladegeom.quantities.declared import checked

_Rest = ParamSpec("_Rest")
_Result = TypeVar("_Result")

_STORE = "_memo"


def memo(compute: Callable[Concatenate[Knife, _Rest], _Result]) -> Callable[Concatenate[Knife, _Rest], _Result]:
    """A function of a knife, and of further values that have a hash, that computes each result once.

    As with a cached property the result lives as long as the knife, and a changed knife is a new one. It must be a
    value that nobody changes. Whatever else is given in place of a knife is refused.
    """
    name = compute.__name__

    @functools.wraps(compute)
    def once(knife: Knife, /, *rest: _Rest.args, **named: _Rest.kwargs) -> _Result:
        checked(f"{name}: knife", knife, Knife)
        store: dict[Any, Any] = knife.__dict__.setdefault(_STORE, {})
        key = (compute.__module__, compute.__qualname__, rest, tuple(named.items()))
        if key not in store:
            store[key] = compute(knife, *rest, **named)
        return cast("_Result", store[key])

    return cast("Callable[Concatenate[Knife, _Rest], _Result]", once)

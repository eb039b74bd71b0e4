"""What is usual in a shop: values that declared things take where a script says none, while settings are in force."""

from __future__ import annotations

import contextlib
import functools
from collections.abc import Iterator, Mapping
from contextvars import ContextVar
from types import MappingProxyType
from typing import Any, Final, NamedTuple, TypeVar

T = TypeVar("T")

Values = Mapping[type, dict[str, Any]]
"""By class and field."""

_NOTHING: Final[Values] = MappingProxyType({})


class Usual(NamedTuple):
    """Values of the fields of some classes.

    Args:
        unsaid: Taken where nothing is said.
        over: Taken whatever is said.
    """

    unsaid: Values = _NOTHING
    over: Values = _NOTHING


_USUAL: Final[ContextVar[Usual]] = ContextVar("what is usual", default=Usual())  # noqa: B039  # nobody can change it
"""Of this thread alone, and as long as :func:`usual` lasts."""


@contextlib.contextmanager
def usual(values: Usual) -> Iterator[None]:
    """While this lasts, classes that :func:`heeds_the_usual` stands over take such values."""
    token = _USUAL.set(values)
    try:
        yield
    finally:
        _USUAL.reset(token)


def heeds_the_usual(cls: type[T]) -> type[T]:
    """Make a keyword-only dataclass take what is usual for each field that it is not told.

    A changed copy is told all its fields, and so keeps them.

    >>> from bladegeom import HoleRules
    >>> with usual(Usual(unsaid={HoleRules: {"rim": 4.0}})):
    ...     HoleRules().rim, HoleRules(rim=5.0).rim
    ...
    (4.0, 5.0)
    """
    made: Any = cls.__init__

    @functools.wraps(made)
    def __init__(self: T, *misplaced: Any, **said: Any) -> None:  # noqa: N807
        values = _USUAL.get()
        made(self, *misplaced, **(values.unsaid.get(cls, {}) | said | values.over.get(cls, {})))

    cls.__init__ = __init__  # type: ignore[method-assign,assignment]
    return cls

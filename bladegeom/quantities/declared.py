"""Values that a maker declares: the annotations of their fields say what these may hold.

::

    @declared("stock", example='Stock(steel="1.4116", thickness=3.5)')
    class Stock:
        steel: BarMaterial
        thickness: Length
        taper: Stations = ()

A value that its field cannot hold is refused when the object is made, with the part, the field, the value, the limit
and a way out. A ``__post_init__`` is written only for rules between fields; it runs after the fields are checked.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import field
from functools import cache
from typing import Any, TypeVar, dataclass_transform, get_type_hints

from bladegeom.quantities.errors import FieldError, ParameterError
from bladegeom.quantities.field_checks import Check, check_of
from bladegeom.quantities.told import told

T = TypeVar("T")


@dataclass_transform(kw_only_default=True, frozen_default=True, field_specifiers=(field,))
def declared(part: str, *, example: str = "", slots: bool = False) -> Callable[[type[T]], type[T]]:
    """Make a class a frozen, keyword-only dataclass whose fields are checked.

    Args:
        part: What a maker calls the thing, for messages; it may name fields in braces, as "requirement {number}".
        example: How a maker writes one, for messages where something else stands in its place.
        slots: As of a dataclass.
    """

    def declare(cls: type[T]) -> type[T]:
        rules_between: Callable[[T], None] | None = cls.__dict__.get("__post_init__")
        checks: tuple[tuple[str, Check], ...] | None = None

        def __post_init__(self: T) -> None:  # noqa: N807
            nonlocal checks
            if checks is None:  # not before the first object is made: annotations may name what stands further below
                checks = _checks(cls)
            for name, check in checks:
                value = getattr(self, name)
                try:
                    kept = check(value)
                except FieldError as refused:
                    raise _error(_part_of(self, part, name), name, value, refused) from None
                if kept is not value:
                    object.__setattr__(self, name, kept)
            if rules_between is not None:
                rules_between(self)

        cls.__post_init__ = __post_init__  # type: ignore[attr-defined]
        made = _made(cls, slots=slots)
        made.__example__ = example  # type: ignore[attr-defined]
        return made

    return declare


def checked(name: str, value: Any, kind: Any) -> Any:
    """A value as a field of that annotation would keep it: for arguments of functions.

    Args:
        name: Part and argument, such as "fasteners: front".
        value: What the maker gave.
        kind: As a field is annotated, such as ``Length``.

    Raises:
        ParameterError: It is none.
    """
    check = _check(kind)
    part, _, field_name = name.rpartition(": ")
    try:
        return value if check is None else check(value)
    except FieldError as refused:
        raise _error(part, field_name, value, refused) from None


@cache
def _check(kind: Any) -> Check | None:
    return check_of(kind)


def _checks(cls: type) -> tuple[tuple[str, Check], ...]:
    hints = get_type_hints(cls, include_extras=True)
    named = ((field.name, check_of(hints[field.name])) for field in dataclasses.fields(cls))
    return tuple((name, check) for name, check in named if check is not None)


def _made(cls: type[T], *, slots: bool) -> type[T]:
    """The dataclass; with slots it holds nothing besides its fields, and the standard library copies these."""
    if not slots:
        cls.__getstate__ = _declared_state  # type: ignore[method-assign]
    return dataclasses.dataclass(frozen=True, kw_only=True, slots=slots)(cls)


def _declared_state(self: Any) -> dict[str, Any]:
    """What is copied and sent to other processes: what is declared, and nothing that was computed from it."""
    return {field.name: getattr(self, field.name) for field in dataclasses.fields(self)}


def _part_of(value: Any, part: str, field_name: str) -> str:
    """The part with the fields that it names; without them where one of them is what is refused."""
    if f"{{{field_name}}}" in part:
        return part.partition(" {")[0]
    return part.format(**{field.name: getattr(value, field.name) for field in dataclasses.fields(value)})


def _error(part: str, field_name: str, value: object, refused: FieldError) -> ParameterError:
    must = refused.must or f"be written like {field_name}={refused.like}"
    name = field_name
    if refused.item is not None:
        number, value = refused.item
        name = f"number {number} of {field_name}" if number else field_name
    shown = told(value) + (f" {refused.unit}" if refused.unit else "")
    name = f"{part}: {name}" if part else name
    return ParameterError(name, value, must, shown=shown, limit=refused.limit, field=field_name)

"""From the annotation of a field to the check of its values, made once for each class."""

from __future__ import annotations

import dataclasses
import datetime
import math
import types
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from numbers import Real
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from bladegeom.quantities.errors import FieldError
from bladegeom.quantities.field_rules import Becomes, InUnit, Like, NumberLimit, Says, require_reasonable
from bladegeom.quantities.told import is_torn, told

Check = Callable[[Any], Any]
"""From a value to what is kept of it: the value itself, mostly. It raises :class:`FieldError`."""

_NOUNS: dict[Any, str] = {
    float: "a number",
    int: "a whole number",
    Decimal: "an exact number, such as Decimal('12.50')",
    str: "a text",
    datetime.date: "a date, written 2026-09-30",
}

_YEARS = (1900, 2200)
"""A day of any other year is a slip of the pen, and may have no day after it; own choice."""

_WRITTEN: dict[Any, str] = {float: "1.5", int: "1", str: '"..."', bool: "True"}
"""How a value is written in an example."""


def check_of(hint: Any) -> Check | None:
    """The check that an annotation asks for; None where any value will do.

    Args:
        hint: A class, ``Literal``, ``X | None``, ``X | Y``, ``tuple[X, ...]``, ``tuple[X, Y]``, or one of these in
            ``Annotated`` with rules of ``field_rules.py``.

    Raises:
        TypeError: No value can be checked against such an annotation.
    """
    base, rules = (hint.__origin__, hint.__metadata__) if get_origin(hint) is Annotated else (hint, ())
    written = _written(hint)
    steps = [rule.function for rule in rules if isinstance(rule, Becomes)]
    if base not in _IS_NUMBER:
        kind = _kind(base, written)
        steps += [] if kind is None else [kind]
    if base in _IS_NUMBER or any(isinstance(rule, NumberLimit) for rule in rules):
        steps.append(_number(base if base in _IS_NUMBER else float, rules))
    steps += [rule.keep for rule in rules if hasattr(rule, "keep")]
    return _chain(steps)


def _chain(steps: Sequence[Check]) -> Check | None:
    if len(steps) < 2:
        return steps[0] if steps else None

    def check(value: Any) -> Any:
        for step in steps:
            value = step(value)
        return value

    return check


def _kind(base: Any, written: str) -> Check | None:
    """The check of what is no number."""
    if base in (Any, object):
        return None
    if get_origin(base) is Literal:
        return _choice(get_args(base))
    if get_origin(base) in (Union, types.UnionType):
        return _union(get_args(base), written)
    if get_origin(base) is tuple:
        return _row(get_args(base), written)
    base = Mapping if get_origin(base) is Mapping else base
    if isinstance(base, type) and get_origin(base) is None:
        noun = _NOUNS.get(base, "")
        such = f", such as {written}" if noun and written != _WRITTEN.get(base) else ""
        return _instance((base,), noun + such, written)
    raise TypeError(f"no value can be checked against {base!r}; annotate the field otherwise, or with Any")


@dataclass(frozen=True)
class _Number:
    """A finite number of a kind within its limits; no truth value is a number.

    Where a float is wanted a float is kept, whatever kind of number was written: a plate of 3 mm and one of 3.0 mm are
    the same in every file, text and checksum.
    """

    kind: type
    limits: tuple[NumberLimit, ...]
    unit: str

    def check(self, value: Any) -> Any:
        """The number."""
        if type(value) is not self.kind and not _IS_NUMBER[self.kind](value):
            reads = isinstance(value, str) and self.unit == "mm"
            way_out = f", not a text; length({told(value)}) reads one" if reads else ""
            raise FieldError(f"be {self._words(_NOUNS[self.kind])}{way_out}")
        # A limit refuses a float that is not finite too; a decimal that is not must not even be compared with it.
        if (type(value) is not float or not self.limits) and not _is_finite(value):
            raise self._refused(value, next(iter(self.limits), None))
        for limit in self.limits:
            if not limit.holds(value):
                raise self._refused(value, limit)
        if self.unit == "mm":
            require_reasonable(value, self.limits)
        return float(value) if self.kind is float and type(value) is not float else value

    def _refused(self, value: Any, limit: NumberLimit | None) -> FieldError:
        if limit is None or not _is_finite(value):
            return FieldError(f"be {self._words('a finite number')}", limit=limit)
        unit = f" {self.unit}" if self.unit else ""
        words = " and ".join(each.words(unit) for each in self.limits)
        return FieldError(f"be {words}", limit=limit, unit=self.unit)

    def _words(self, noun: str) -> str:
        noun = f"{noun} of {self.unit}" if self.unit else noun
        return ", ".join([noun, *(limit.words() for limit in self.limits)])


def _number(kind: type, rules: Sequence[Any]) -> Check:
    limits = tuple(rule for rule in rules if isinstance(rule, NumberLimit))
    return _Number(kind, limits, next((rule.name for rule in rules if isinstance(rule, InUnit)), "")).check


def _is_real(value: object) -> bool:
    return isinstance(value, Real) and not isinstance(value, bool)


def _is_whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _is_decimal(value: object) -> bool:
    return isinstance(value, Decimal)


_IS_NUMBER: dict[type, Callable[[object], bool]] = {float: _is_real, int: _is_whole, Decimal: _is_decimal}


def _is_finite(value: Any) -> bool:
    """Whether it is, and a float can hold it: a whole number may have any number of digits."""
    if isinstance(value, Decimal):
        return value.is_finite()
    try:
        return math.isfinite(value)
    except OverflowError:
        return False


def _choice(known: tuple[str, ...]) -> Check:
    *some, last = (repr(word) for word in known)
    must = f"be {', '.join(some)} or {last}" if some else f"be {last}"

    def check(value: Any) -> Any:
        if not isinstance(value, str) or value not in known:
            raise FieldError(must, limit=known)
        return value

    return check


def _instance(kinds: tuple[type, ...], noun: str, written: str) -> Check:
    def check(value: Any) -> Any:
        if not isinstance(value, kinds):
            raise FieldError(f"be {noun}" if noun else "", like=written + _within(value, kinds))
        if isinstance(value, str) and is_torn(value):
            raise FieldError("be a text of whole letters: one of its letters is half of one")
        if isinstance(value, datetime.date) and not _YEARS[0] <= value.year <= _YEARS[1]:
            raise FieldError(f"be a day of the years {_YEARS[0]} to {_YEARS[1]}")
        return value

    return check


def _within(value: object, kinds: tuple[type, ...]) -> str:
    """Where a value of our own holds what is wanted: a design its knife, a knife its outline."""
    if isinstance(value, type) or not dataclasses.is_dataclass(value):
        return ""
    fields = (field.name for field in dataclasses.fields(value))
    held = next((name for name in fields if isinstance(getattr(value, name), kinds)), None)
    return f"; a {type(value).__name__} has one as .{held}" if held else ""


def _union(members: tuple[Any, ...], written: str) -> Check | None:
    others = tuple(member for member in members if member is not types.NoneType)
    if others != members:
        check = check_of(Union[others] if len(others) > 1 else others[0])  # noqa: UP007  # made at run time
        return None if check is None else _optional(check)
    if any(get_origin(member) is tuple and get_args(member)[-1] is Ellipsis for member in members):
        return _one_or_several(members, written)
    if all(get_origin(member) is Literal for member in members):
        return _choice(tuple(word for member in members for word in get_args(member)))
    if all(isinstance(member, type) and member is not float for member in members):
        return _instance(members, "", written)
    return _any_of(tuple(check_of(member) for member in members), written)


def _optional(check: Check) -> Check:
    return lambda value: None if value is None else check(value)


def _any_of(checks: Sequence[Check | None], written: str) -> Check:
    def check(value: Any) -> Any:
        for kind in checks:
            try:
                return value if kind is None else kind(value)
            except FieldError:
                continue
        raise FieldError(like=written)

    return check


def _one_or_several(members: tuple[Any, ...], written: str) -> Check:
    """A row, or one item of it without brackets, which is kept as a row of one."""
    rows = next(member for member in members if get_origin(member) is tuple)
    check_row = _row(get_args(rows), written)
    return lambda value: check_row(value if isinstance(value, tuple | list) else (value,))


def _row(items: tuple[Any, ...], written: str) -> Check:
    if items[-1] is Ellipsis:
        return _long_row(check_of(items[0]) or _any, written)
    return _short_row(tuple(check_of(item) or _any for item in items), written)


def _any(value: Any) -> Any:
    return value


def _long_row(check_item: Check, written: str) -> Check:
    """Any number of items of one kind."""

    def check(value: Any) -> Any:
        if not isinstance(value, tuple | list):
            raise FieldError(like=written)
        kept, same = [], type(value) is tuple
        for number, item in enumerate(value, start=1):
            try:
                found = check_item(item)
            except FieldError as refused:
                # Of a wrong kind in a row the whole row is told: a comma or a bracket is missing, as a rule.
                raise FieldError(like=written) if refused.like else refused.of_item(number, item) from None
            kept.append(found)
            same = same and found is item
        return value if same else tuple(kept)

    return check


def _short_row(checks: Sequence[Check], written: str) -> Check:
    """As many items as there are checks."""

    def check(value: Any) -> Any:
        if not isinstance(value, tuple | list) or len(value) != len(checks):
            raise FieldError(like=written)
        kept = tuple(_kept(check_item, item) for check_item, item in zip(checks, value, strict=True))
        same = type(value) is tuple and all(found is item for found, item in zip(kept, value, strict=True))
        return value if same else kept

    return check


def _kept(check: Check, item: object) -> Any:
    try:
        return check(item)
    except FieldError as refused:
        raise refused.of_item(0, item) from None


def _written(base: Any) -> str:
    """How a maker writes a value of a kind."""
    if get_origin(base) is Annotated:
        rules = base.__metadata__
        like = next((rule.example for rule in rules if isinstance(rule, Like)), "")
        says = next((f'"{rule.example}"' for rule in rules if isinstance(rule, Says)), "")
        return like or says or _written(base.__origin__)
    if get_origin(base) in (Union, types.UnionType):
        return " or ".join(dict.fromkeys(_written(member) for member in get_args(base) if member is not types.NoneType))
    if get_origin(base) is tuple:
        first, *others = get_args(base)
        if others and others[0] is Ellipsis:
            # Of a row that may hold several kinds the first one shows the brackets.
            kinds = get_args(first) if get_origin(first) in (Union, types.UnionType) else (first,)
            return f"({_written(kinds[0])},), with its comma"
        return f"({', '.join(_written(item) for item in get_args(base))})"
    if get_origin(base) is Literal:
        return repr(get_args(base)[0])
    return _WRITTEN.get(base) or getattr(base, "__example__", "") or f"{getattr(base, '__name__', base)}(...)"

"""What is not as it was agreed in the maker's own steps by which wishes are met: the numbers that were promised."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import zip_longest
from typing import Any, Final

from bladegeom.agreement.agreed import Table
from bladegeom.agreement.difference_seen import NONE, At, Difference
from bladegeom.agreement.sights import sight_of

_NUMBER: Final = re.compile(r"\d+(?:[.,/]\d+)*")

_OF: Final = "Operation"


def step_differences(was: Sequence[Table], now: Sequence[Table]) -> Iterator[Difference]:
    """Between the steps that meet a wish as they were agreed, and as they are.

    Args:
        was: Tables of the steps as agreed.
        now: Of the same today.
    """
    before, after = ({step["key"]: step for step in steps} for steps in (was, now))
    for key in dict.fromkeys((*before, *after)):
        old, new = before.get(key), after.get(key)
        named = old or new or {}
        at = At(sight_of(_OF, "title"), f"step {named['title']!r}", "order", frozenset({key}))
        if old is None or new is None:
            yield at.worded(*("is not done" if step is None else "is done" for step in (old, new)), is_seen=True)
        else:
            yield from _step(old, new, at)


def _step(was: Table, now: Table, at: At) -> Iterator[Difference]:
    if was["title"] != now["title"]:
        yield at.within(sight_of(_OF, "title")).worded(f"{was['title']!r}", f"{now['title']!r}", is_seen=True)
    at_tasks = at.within(sight_of(_OF, "tasks"))
    for old, new in zip_longest(was.get("tasks", []), now.get("tasks", []), fillvalue=""):
        if _NUMBER.findall(old) != _NUMBER.findall(new):
            yield at_tasks.worded(_quoted(old), _quoted(new), is_seen=True)
    for field in ("numbers", "blanks"):
        for old, new in zip_longest(was.get(field, []), now.get(field, [])):
            named = (old or new)["what"]
            words = _words(old), _words(new)
            if words[0] != words[1]:
                yield At(at.sight, f"{at.what}, {named}", at.kind, at.asked).worded(*words, is_seen=True)


def _quoted(text: str) -> str:
    return repr(text) if text else NONE


def _words(number: Table | None) -> str:
    """The value and the limits of a number, in its own unit."""
    if number is None:
        return NONE
    value, low, high = (_told(number, name) for name in ("value", "low", "high"))
    limits = (f"at least {low}" if low else "", f"at most {high}" if high else "")
    return ", ".join(filter(None, (value, *limits))) or NONE


def _told(number: Table, name: str) -> str:
    value: Any = number.get(name)
    return "" if value is None else f"{value:g} {number.get('unit', '')}"

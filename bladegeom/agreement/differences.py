"""What of a design is not as it was agreed: two states side by side, each field judged by its row of the table."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, Final

import numpy as np

from bladegeom.agreement.agreed import Table
from bladegeom.agreement.difference_seen import At, Difference, asked_of, class_words, wanted_in_words
from bladegeom.agreement.lines_apart import line_difference, outline_differences
from bladegeom.agreement.matching import entry_pairs, kind_of, number_of
from bladegeom.agreement.measured_words import MEASURE_WORDS
from bladegeom.agreement.sights import NUMBERED, Sight, sight_of
from bladegeom.agreement.state import COVERED, IS, MARKED, OUTLINE, WISHED, is_line
from bladegeom.agreement.steps_apart import step_differences
from bladegeom.order.order_ways import Measured
from bladegeom.quantities.units import show_place

STILL: Final = 5e-5
"""Numbers that differ by less are the same: half of what a revision id counts."""

_NAMED: Final = ("Material", "Thread")
"""Of these all else comes with the name."""

_HIDDEN: Final = {True: "under the handle", False: "in sight"}

_ROOTS: Final = ("felt", "knife", "order", "work")


def differences(agreed: Table, present: Table) -> tuple[Difference, ...]:
    """Everything that differs between two states, seen or not; none where nothing does.

    Args:
        agreed: The state as it was agreed.
        present: The state now, or later.
    """
    top = At(Sight(of="", field="", shows="inside", kind="order"), "", "order", frozenset())
    found = [each for key in _ROOTS for each in _pair(agreed.get(key), present.get(key), top)]
    # An older agreement does not tell what stood in its steps.
    wished = [*step_differences(agreed[WISHED], present[WISHED])] if WISHED in agreed else []
    found += wished
    if agreed["steps"] != present["steps"] and not wished:
        found.append(_STEPS.worded(MARKED, MARKED, is_seen=False))
    return tuple(found)


_STEPS: Final = At(Sight(of="", field="steps", shows="unseen", kind="order"), "steps of the work", "order", frozenset())


def _pair(was: Any, now: Any, at: At) -> Iterator[Difference]:
    """What differs between two values of one field."""
    if was == now:
        return
    if at.is_hidden:
        yield from _value(was, now, at, is_seen=False)
    elif is_line(was) and is_line(now):
        yield from line_difference(was, now, at)
    elif at.sight.shows == "stations" and isinstance(was, list) and isinstance(now, list):
        yield from _stations(was, now, at)
    elif isinstance(was, dict) and isinstance(now, dict) and was[IS] == now[IS]:
        yield from (_limits if _are_limits_of_one(was, now) else _fields)(was, now, at)
    elif _are_rows(was, now):
        yield from _rows(_as_rows(was), _as_rows(now), at)
    else:
        yield from _value(was, now, at, is_seen=at.sight.shows != "bare")


def _fields(was: Table, now: Table, at: At) -> Iterator[Difference]:
    """Of two values of one class."""
    of = was[IS]
    if was.get("name") != now.get("name") and of in _NAMED:
        was, now = {IS: of, "name": was["name"]}, {IS: of, "name": now["name"]}
    covered = bool(was.get(COVERED)) and bool(now.get(COVERED))
    done = {IS, COVERED}
    if of != OUTLINE and was.get(COVERED) != now.get(COVERED):
        yield at.worded(*(_HIDDEN[bool(value.get(COVERED))] for value in (was, now)), is_seen=True)
    if of == OUTLINE:
        yield from outline_differences(was, now, at)
        done |= {name for name in was if is_line(was[name])}
    elif {"x", "y"} <= was.keys():
        yield from _moved(was, now, at.within(sight_of(of, "x")), is_covered=covered)
        done |= {"x", "y"}
    for field in dict.fromkeys((*was, *now)):
        if field in done:
            continue
        sight = sight_of(of, field)
        inner = at.within(sight)
        if sight.shows == "bare":
            yield from _value(was.get(field), now.get(field), inner, is_seen=not covered)
        else:
            yield from _pair(was.get(field), now.get(field), inner)


def _are_limits_of_one(was: Table, now: Table) -> bool:
    """Whether two tables limit the same measure, and a customer can be told how."""
    return was[IS] == Measured.__name__ and was["measure"] == now["measure"] and was["measure"] in MEASURE_WORDS


def _limits(was: Table, now: Table, at: At) -> Iterator[Difference]:
    """Of two wishes about one measure: its limits as they stood on the page; field by field where these are alike."""
    agreed, present = wanted_in_words(was), wanted_in_words(now)
    if agreed == present:
        yield from _fields(was, now, at)
    else:
        measured = At(at.sight, f"{at.what}, {MEASURE_WORDS[was['measure']]}:", at.kind, at.asked)
        yield measured.worded(agreed, present, is_seen=True)


def _moved(was: Table, now: Table, at: At, *, is_covered: bool) -> Iterator[Difference]:
    """A thing that stands elsewhere."""
    (a, b), (c, d) = ((float(value["x"]), float(value["y"])) for value in (was, now))
    away = math.dist((a, b), (c, d))
    if away > STILL:
        is_seen = away > at.sight.within and not is_covered
        here = At(at.sight, f"{at.what or class_words(was[IS])}, place", at.kind, at.asked | asked_of(was))
        yield here.worded(show_place(a, b), show_place(c, d), is_seen=is_seen, place=(c, d))


def _value(was: Any, now: Any, at: At, *, is_seen: bool) -> Iterator[Difference]:
    """Of two numbers, texts, or values of different classes."""
    if was == now:
        return
    gap = _gap(was, now)
    if gap is None:
        if was in (None, "", [], False) and now in (None, "", [], False):
            return
        yield at.differs(was, now, is_seen=is_seen)
    elif gap > STILL:
        limit = at.sight.within * (max(abs(was), abs(now)) if at.sight.is_share else 1.0)
        found = at.differs(was, now, is_seen=is_seen and gap > limit)
        if found.is_seen or found.was != found.now:
            yield found


def _gap(was: Any, now: Any) -> float | None:
    """How far two numbers, or rows of as many, are apart; None of anything else."""
    if _is_number(was) and _is_number(now):
        return abs(float(now) - float(was))
    if isinstance(was, list) and isinstance(now, list) and was and len(was) == len(now):
        gaps = [_gap(a, b) for a, b in zip(was, now, strict=True)]
        known = [gap for gap in gaps if gap is not None]
        return max(known) if len(known) == len(gaps) else None
    return None


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _stations(was: list[Any], now: list[Any], at: At) -> Iterator[Difference]:
    """Of two rows of stations (x, thickness): the greatest difference at any station of either."""
    if not was or not now:
        yield at.differs(was, now, is_seen=True)
        return
    a, b = np.array(was, dtype=np.float64), np.array(now, dtype=np.float64)
    x = np.union1d(a[:, 0], b[:, 0])
    gap = float(np.abs(np.interp(x, *a.T) - np.interp(x, *b.T)).max())
    yield at.differs(was, now, is_seen=gap > at.sight.within)


def _are_rows(was: Any, now: Any) -> bool:
    """Whether two values are rows of tables, or words in any order; a value alone is a row of that value."""
    rows = (*_as_rows(was), *_as_rows(now))
    return (isinstance(was, list) or isinstance(now, list)) and (
        all(isinstance(row, dict) for row in rows) or all(isinstance(row, str) for row in rows)
    )


def _as_rows(value: Any) -> list[Any]:
    if value is None:
        return []
    return value if isinstance(value, list) else [value]


def _rows(was: list[Any], now: list[Any], at: At) -> Iterator[Difference]:
    pairs = entry_pairs(was, now, at.sight.matched)
    if at.sight.matched == NUMBERED:
        for a, b in pairs:
            yield from _entry(a, b, at.numbered((a or b)["number"], _quoted(a, b)))
        return
    # Where several entries of a kind differ alike, it is told once, with the numbers of all of them.
    alike: dict[tuple[Difference, bool], list[int]] = {}
    for a, b in pairs:
        entry, row = (a, was) if b is None else (b, now)
        kind = kind_of(entry)
        is_alone = not kind or sum(kind_of(other) == kind for other in row) == 1
        for difference in _entry(a, b, at):
            alike.setdefault((difference, is_alone), []).append(number_of(entry, row, at.sight.matched))
    for (difference, is_alone), numbers in alike.items():
        yield difference if is_alone else difference.of_several(at.what, sorted(numbers))


def _entry(was: Any, now: Any, at: At) -> Iterator[Difference]:
    """Of one entry of a row; None where it is not there."""
    if was is not None and now is not None:
        yield from _pair(was, now, at)
        return
    alone = now if was is None else was
    if isinstance(alone, str):
        yield at.worded(*(f"{'without' if word is None else 'with'} {alone}" for word in (was, now)), is_seen=True)
    else:
        covered = isinstance(alone, dict) and bool(alone.get(COVERED))
        yield at.differs(was, now, is_seen=not covered)


def _quoted(was: Table | None, now: Table | None) -> str:
    """The customer's words of a requirement that still has them, in brackets."""
    if was is None or now is None or was.get("text") != now.get("text"):
        return ""
    return f"({was['text']!r})"

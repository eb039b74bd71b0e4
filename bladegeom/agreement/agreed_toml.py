"""What was agreed as a TOML file beside the order: written whole, read with distrust.

A checksum over all that the file says makes a change by hand visible; remarks and blank lines do not count. It guards
against slips, not against a forger: who can write the file can write another one.
"""

from __future__ import annotations

import datetime
import hashlib
import json
import math
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

from bladegeom.agreement.agreed import Agreed, Table
from bladegeom.agreement.signed import AgreedPrice, AgreedTerm, Answered, Signed
from bladegeom.agreement.state import IS, LINE, OPEN_RING, WISHED, is_line
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.lettering import visible
from bladegeom.quantities.paths import path_of
from bladegeom.quantities.table_values import value_from_table
from bladegeom.quantities.toml_table import TomlTable, read_toml

FORMAT: Final = "bladegeom-agreed"
VERSION: Final = 2
"""1 knew no terms of an offer, no steps that a wish asks for, no ring round a fastener."""

MOST_BYTES: Final = 2_000_000
"""Own choice: a knife of the table takes 10 kB, a traced outline of ten thousand lines less than this."""

_DEEPEST: Final = 20
"""So many tables within each other; own choice: a knife has eight."""

_SHOWN: Final = 80
"""Letters of a line that are told; own choice."""

_LETTERS: Final = 16
_AGAIN: Final = "let the customer see the page again and agree anew"
_BARE: Final = re.compile(r"[A-Za-z0-9_-]+")
_HEAD: Final = "# What was agreed. Written by bladegeom; what is changed by hand is no longer what was agreed.\n"


def agreed_text(agreed: Agreed) -> str:
    """The text of the file.

    Args:
        agreed: What was agreed.

    Raises:
        ParameterError: It would be longer than such a file may be, or holds what is no letter.

    >>> from bladegeom import Signed
    >>> signed = Signed(customer="the cook", maker="the smith", date="2026-03-09", how="on paper")
    >>> print(agreed_text(design.agreeing(signed)).splitlines()[1])
    format = "bladegeom-agreed"
    """
    content = _content(agreed)
    marked = {"format": FORMAT, "version": VERSION, "checksum": _checksum(content), **content}
    lines = list(_lines(marked))
    for line in lines:
        if broken := re.search("[\ud800-\udfff]", line):
            must = f"hold letters alone: {visible(broken[0])} is a broken one; write it anew"
            raise ParameterError("agreement: text", line, must, shown=visible(line)[:_SHOWN])
    text = _HEAD + "\n".join(lines) + "\n"
    if len(text.encode()) > MOST_BYTES:
        must = f"be at most {MOST_BYTES / 1e6:g} MB: trace the outline with fewer points"
        raise ParameterError("agreement: file", f"{len(text.encode()) / 1e6:.1f} MB", must)
    return text


def read_agreed(path: str | Path) -> Agreed:
    """What was agreed, from its file.

    Raises:
        UnreadableFileError: It cannot be read, is of another kind or a newer format, or was changed by hand.

    >>> from bladegeom import Signed, agreed_text
    >>> signed = Signed(customer="the cook", maker="the smith", date="2026-03-09", how="on paper")
    >>> path = folder / "knife.agreed.toml"
    >>> _ = path.write_text(agreed_text(design.agreeing(signed)), encoding="utf-8")
    >>> read_agreed(path).signed.customer
    'the cook'
    """
    table = read_toml(path_of("read_agreed", path), most_bytes=MOST_BYTES, advice="that is no agreement")
    _require_ours(table)
    _require_unchanged(table)
    parts = {key: table.table(key) for key in ("signed", "design", "state")}
    missing = [f"[{key}]" for key, part in parts.items() if part is None]
    if missing:
        raise table.error(f"the file lacks {', '.join(missing)}; {_AGAIN}")
    signed, design, state = (part for part in parts.values() if part is not None)
    return Agreed(
        signed=_signed(signed),
        **{key: _text(design, key) for key in ("name", "order", "revision")},
        state=_state(state, known=table.content["version"]),
    )


def _content(agreed: Agreed) -> Table:
    signed = agreed.signed
    told: Table = {
        "customer": signed.customer,
        "maker": signed.maker,
        "date": signed.date,
        "how": signed.how,
        "note": signed.note,
        "answers": [{"question": said.question, "answer": said.answer} for said in signed.answers],
    }
    if signed.price is not None:
        told["price"] = {"amount": signed.price.amount, "currency": signed.price.currency}
    if signed.terms:
        told["terms"] = [{"what": term.what, "value": term.value} for term in signed.terms]
    named = {"name": agreed.name, "order": agreed.order, "revision": agreed.revision}
    return {"signed": told, "design": named, "state": agreed.state}


def _require_ours(table: TomlTable) -> None:
    """That the file is an agreement, of a format that is known here."""
    if not table.content:
        raise table.error(f"the file is empty: nothing was agreed by it; {_AGAIN}, or take the file away")
    if table.content.get("format") != FORMAT:
        raise table.error(
            f'the file is no agreement: it does not say format = "{FORMAT}"; take it away, or {_AGAIN}', "format"
        )
    version = table.content.get("version")
    if type(version) is not int or version < 1:
        raise table.error(f"version must be a whole number from 1 on; {_AGAIN}", "version")
    if version > VERSION:
        message = f"the file is of format {version}, and this bladegeom reads {VERSION}: bring bladegeom up to date"
        raise table.error(message, "version")


def _require_unchanged(table: TomlTable) -> None:
    if _depth(table.content) > _DEEPEST:
        raise table.error(f"the file holds tables within tables, more than {_DEEPEST} deep: that is no agreement")
    content = {key: value for key, value in table.content.items() if key not in ("format", "version", "checksum")}
    if table.content.get("checksum") != _checksum(content):
        raise table.error(
            f"the file was changed after it was written, its checksum does not fit what it says; bring back the file "
            f"as it was, or {_AGAIN}",
            "checksum",
        )


def _signed(table: TomlTable) -> Signed:
    made: dict[str, object] = {
        "answers": tuple(value_from_table(row, Answered, "answer") for row in table.tables("answers")),
        "terms": tuple(value_from_table(row, AgreedTerm, "term") for row in table.tables("terms")),
    }
    if (price := table.table("price")) is not None:
        made["price"] = value_from_table(price, AgreedPrice, "price")
    return value_from_table(table, Signed, "signature", made=made)


def _text(table: TomlTable, key: str) -> str:
    if not isinstance(value := table.content.get(key), str):
        raise table.error(f"{key} must be a text; {_AGAIN}", key)
    return value


def _state(table: TomlTable, *, known: int) -> Table:
    """The state, known to hold what comparing relies on; what a format did not know yet is filled in."""
    state = dict(table.content)
    whole = all(isinstance(state.get(key), dict) for key in ("felt", "knife", "work")) and _are_steps(state, known)
    if not whole or not isinstance(state.get("steps"), str) or not all(map(_is_sound, state.values())):
        raise table.error(f"the file does not hold the whole state that was agreed; {_AGAIN}")
    if known < 2:
        state["knife"] = _with_rings_closed(state["knife"])
    return state


def _are_steps(state: Table, known: int) -> bool:
    """Whether the steps that meet a wish are there, each with its name."""
    steps = state.get(WISHED, [] if known < 2 else None)
    return isinstance(steps, list) and all(
        isinstance(step, dict) and all(isinstance(step.get(name), str) for name in ("key", "title")) for step in steps
    )


def _with_rings_closed(knife: Table) -> Table:
    """With every fastener as one that fills its hole: a ring that nobody agreed to is told."""
    fasteners = knife.get("fasteners", [])
    closed = [{OPEN_RING: 0.0} | each for each in fasteners if isinstance(each, dict)]
    return knife | {"fasteners": closed if len(closed) == len(fasteners) else fasteners}


def _is_sound(value: Any) -> bool:
    """Whether each table names its class, numbers are numbers, and lines have points."""
    if isinstance(value, dict):
        named = isinstance(value.get(IS), str) and all(map(_is_sound, value.values()))
        return named and (not is_line(value) or _is_chain(value.get(LINE)))
    if isinstance(value, list):
        return all(map(_is_sound, value))
    return isinstance(value, str | int | datetime.date) or (isinstance(value, float) and math.isfinite(value))


def _is_chain(points: Any) -> bool:
    """Whether they are the control points of a chain of cubics."""
    if not isinstance(points, list) or len(points) < 4 or len(points) % 3 != 1:
        return False
    return all(
        isinstance(place, list) and [type(number) in (int, float) for number in place] == [True, True]
        for place in points
    )


def _depth(content: object) -> int:
    """How many tables and rows lie within each other; counted without calling itself."""
    level, deep = [content], 0
    while level and deep <= _DEEPEST:
        inner = [v.values() if isinstance(v, dict) else v for v in level if isinstance(v, dict | list)]
        level, deep = [value for values in inner for value in values], deep + 1
    return deep


def _checksum(content: Mapping[str, Any]) -> str:
    text = json.dumps(content, sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()[:_LETTERS]


def _lines(table: Mapping[str, Any], path: tuple[str, ...] = ()) -> Iterator[str]:
    """A table in TOML: plain values first, then the tables in it."""
    inner = {key: value for key, value in table.items() if isinstance(value, dict) or _are_tables(value)}
    yield from (f"{_key(key)} = {_value(value)}" for key, value in table.items() if key not in inner)
    for key, value in inner.items():
        head = ".".join(map(_key, (*path, key)))
        for row in value if isinstance(value, list) else [value]:
            yield ""
            yield f"[[{head}]]" if isinstance(value, list) else f"[{head}]"
            yield from _lines(row, (*path, key))


def _are_tables(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(row, dict) for row in value)


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else _quoted(key)


def _value(value: Any) -> str:
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{_key(key)} = {_value(entry)}' for key, entry in value.items())} }}"
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    return value.isoformat() if isinstance(value, datetime.date) else repr(value)


def _quoted(text: str) -> str:
    """As in JSON, which writes one letter plainly that TOML does not."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")

"""The report at a glance: one screen of a terminal, with the balance point drawn between butt and tip."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, Final

from bladegeom.knife.finding import severity_counts
from bladegeom.mass.unweighed import without_words
from bladegeom.quantities.balance_bands import from_front
from bladegeom.quantities.units import show_length, show_mass
from bladegeom.writers.report_balance import band_line

GLANCE_KEYS: Final = (
    "name",
    "revision",
    "outline",
    "stock",
    "parts",
    "total",
    "balance_band",
    "findings",
    "overridden",
)
"""What of the report it is told from."""

ROWS, COLUMNS = 24, 80
"""Of the screen; source: the DEC VT100 user guide, whose screen terminals have copied ever since."""

_LABEL = 19
_BUTT, _BAR = "   butt ", 64
"""What the bar begins behind, and its characters."""

_MORE = "  ... and {0} more: "

_LEAST = 2
"""Lines that a further error must find to be begun."""

_UNIT = re.compile(r"(?<=\d) (?=(?:mm|in|g)\b)")

_CAUTION = "Check before cutting: the steel maker's, the shop's and local rules come first."


def as_glance(content: Mapping[str, Any], sections: Iterable[str]) -> str:
    """The report on one screen, 24 lines of 80 columns at most.

    Args:
        content: What :func:`bladegeom.design.report.report_of` gives of ``GLANCE_KEYS``.
        sections: That the report has more of, named in the last line.
    """
    head = [_cut(f"{content['name']}, revision {content['revision']}"), "", *_size_rows(content), *_bar(content), ""]
    tail = [*_released(content), "", _CAUTION, *_sections(sections)]
    found = _row("findings", severity_counts(row["severity"] for row in content["findings"]))
    room = ROWS - len(head) - len(found) - len(tail)
    return "\n".join([*head, *found, *_errors(content, room), *tail]) + "\n"


def _size_rows(content: Mapping[str, Any]) -> Iterator[str]:
    outline, stock, total = content["outline"], content["stock"], content["total"]
    left_out = without_words(total["unweighed"])
    thinnest = min((thick for _, thick in stock["taper"]), default=stock["thickness"])
    taper = f", tapered to {show_length(thinnest)}" if stock["taper"] else ""
    yield from _row("overall length", f"{show_length(outline['length'])}{left_out}")
    yield from _row("blade length", show_length(outline["blade_length"]))
    yield from _row("blade height", show_length(outline["blade_height"]))
    yield from _row("thickness", f"{show_length(stock['thickness'])}{taper}, {stock['material']}")
    yield from _row("mass", f"{show_mass(total['mass'])}{left_out}: {', '.join(_masses(content['parts']))}")
    yield from _row("balance", f"{from_front(total['balance_x'])}{left_out}")
    for line in band_line(content["balance_band"]):
        yield from _row(line[:_LABEL].strip(), line[_LABEL:])


def _masses(parts: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    """Of each kind of part, both sides together."""
    masses: dict[str, float] = {}
    for part in parts:
        side, _, name = part["name"].partition(" ")
        kind = f"{name}s" if side in ("right", "left") else part["name"]
        masses[kind] = masses.get(kind, 0.0) + part["mass"]
    return (f"{kind} {show_mass(mass)}" for kind, mass in masses.items())


def _bar(content: Mapping[str, Any]) -> tuple[str, str, str]:
    """The knife as a bar from butt to tip, its handle front marked, and under it where it balances."""
    outline = content["outline"]
    length: float = outline["length"]
    butt: float = outline["blade_length"] - length

    def at(x: float) -> int:
        return round((x - butt) / length * (_BAR - 1))

    front, balance = at(0.0), at(content["total"]["balance_x"])
    knife = f"{'=' * front}|{'-' * (_BAR - 1 - front)}"
    return _over(front, "handle front"), f"{_BUTT}{knife} tip", _under(balance, "balance")


def _over(at: int, words: str) -> str:
    """Words over the middle of a place of the bar."""
    start = len(_BUTT) + at - len(words) // 2
    return " " * max(0, min(start, COLUMNS - 1 - len(words))) + words


def _under(at: int, words: str) -> str:
    """A mark under a place of the bar, with words behind it, or before it where the bar ends."""
    start = len(_BUTT) + at
    if start + len(words) + 2 < COLUMNS:
        return f"{' ' * start}^ {words}"
    return f"{words:>{start - 1}} ^"


def _errors(content: Mapping[str, Any], room: int) -> list[str]:
    """Every error while there is room, the last one cut short, and how many more there are."""
    errors = [row for row in content["findings"] if row["severity"] == "error"]
    out: list[str] = []
    for number, row in enumerate(errors, start=1):
        allowed = " OVERRIDDEN" if row["code"] in content["overridden"] else ""
        left = room - len(out) - (number < len(errors))
        if left < 1 or (number > 1 and left < _LEAST):
            more = errors[number - 1 :]
            return [*out, _cut(_MORE.format(len(more)) + ", ".join(dict.fromkeys(row["code"] for row in more)))]
        out += _wrapped(f"  error{allowed} [{row['code']}] {row['message']}", indent="    ", most=left)
    return out


def _released(content: Mapping[str, Any]) -> list[str]:
    codes = list(dict.fromkeys(row["code"] for row in content["findings"] if row["severity"] == "error"))
    standing = [code for code in codes if code not in content["overridden"]]
    if standing:
        return _row("released", "NOT RELEASED, no cut file is written while an error stands")
    return _row("released", f"yes, the maker allows {', '.join(codes)}" if codes else "yes, no error stands")


def _sections(names: Iterable[str]) -> list[str]:
    return _wrapped(f"more by section: {', '.join(names)}; the whole: --all", indent="  ", most=3)


def _row(label: str, words: str) -> list[str]:
    """A label and what it says, in two lines at most."""
    return _wrapped(f"{label:<{_LABEL}}{words}", indent=" " * _LABEL, most=2)


def _cut(text: str) -> str:
    """In a single line."""
    return _wrapped(text, indent="", most=1)[0]


def _wrapped(text: str, *, indent: str, most: int | None = None) -> list[str]:
    """In lines that leave the last column free, a number never parted from its unit."""
    whole = _UNIT.sub("\N{NO-BREAK SPACE}", text)
    lines = textwrap.wrap(
        whole, COLUMNS - 1, subsequent_indent=indent, max_lines=most, placeholder=" ...", break_on_hyphens=False
    )
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines]

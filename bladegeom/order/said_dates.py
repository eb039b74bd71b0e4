"""Dates that stand in a customer's words as the day until which something is wanted."""

from __future__ import annotations

import calendar
import datetime
import re
from dataclasses import dataclass
from typing import Final

from bladegeom.order.said_patterns import SMALL

_MONTHS: Final = {
    name.lower(): number
    for names in (calendar.month_name, calendar.month_abbr)
    for number, name in enumerate(names)
    if name
} | {"sept": 9}
_MONTH: Final = rf"(?:{'|'.join(sorted(_MONTHS, key=len, reverse=True))})\b\.?"
_FEASTS: Final[dict[str, tuple[int, int] | None]] = {
    "christmas": (12, 24),
    "xmas": (12, 24),
    "halloween": (10, 31),
    "new year": (12, 31),
    "valentine": (2, 14),
    **dict.fromkeys(
        ("easter", "thanksgiving", "mother's day", "father's day", "birthday", "anniversary", "wedding", "retirement")
    ),
}
"""Days that a year turns round on; None moves, or is the customer's own: which day it is has to be asked."""

_SOON: Final = "|".join(
    (
        *(rf"(?:next |this )?{day.lower()}" for day in calendar.day_name),
        *(f"next {span}" for span in ("week", "month", "year")),
        "(?:the|next|this) weekend",
        *(f"the end of (?:the|this|next) {span}" for span in ("week", "month", "year")),
        "tomorrow",
    )
)
"""Days that only a calendar beside the letter tells."""

_BY: Final = r"by|before|until|till|no later than|not later than"
_UNTIL: Final = rf"\b(?:{_BY}|in time for|ready for|due|needed|for|on)"
_OWN: Final = (
    r"(?:\s+(?:a|the|my|his|her|our|your|their|next|this|end of|middle of|start of|beginning of|mid|\w+'s))*\s+"
)
_TOLD_ON: Final = re.compile(
    r"\b(?:said|told|wrote|letter|picture|photo|sketch|agreed|sent|visit|ordered|paid)\W+\Z", re.IGNORECASE
)
_DAY: Final = r"\d{1,2}(?:st|nd|rd|th)?"
_NAMED: Final = rf"(?:{_DAY}(?:\s+of)?\s+{_MONTH}|{_MONTH}\s+{_DAY}\b)(?:,?\s+\d{{4}}\b)?"
_DATE: Final = rf"\d{{4}}-\d\d-\d\d|\d{{1,2}}[./]\d{{1,2}}[./]\d{{2,4}}|{_NAMED}"
_FIXED: Final = re.compile(
    rf"{_UNTIL}{_OWN}(?P<a>{_DATE})|\b(?:{_BY}){_OWN}(?P<b>{_MONTH}(?:\s+\d{{4}}\b)?)|\b(?P<c>{_DATE}) at the latest",
    re.IGNORECASE,
)
_FEAST: Final = re.compile(
    rf"{_UNTIL}{_OWN}(?P<feast>{'|'.join(_FEASTS)})(?:'?s)?"
    r"(?=\s*(?:$|[,.;:!?)]|(?:and|so|if|please|at|on|this|next|in|day|eve|party|present|gift)\b|\d))"
    rf"|\b(?:{_BY})\s+(?P<soon>{_SOON})\b",
    re.IGNORECASE,
)
_SPAN: Final = re.compile(
    rf"(?<!once )\b(?:within|in)\s+(?P<count>\d{{1,3}}|{'|'.join(SMALL)}|a(?= fortnight))\s+"
    r"(?P<unit>day|week|fortnight|month)s?\b(?! of)",
    re.IGNORECASE,
)
_NEAR: Final = 30
"""Words within so many letters before a date belong to it; own choice."""
_DAYS: Final = {"day": 1, "week": 7, "fortnight": 14, "month": 31}


@dataclass(frozen=True, kw_only=True)
class SaidDate:
    """A day until which something is wanted.

    Args:
        words: As they stand.
        day: The last one that will do; None where the words do not tell.
    """

    words: str
    day: datetime.date | None


def dates_in(words: str, since: datetime.date) -> tuple[SaidDate, ...]:
    """Every one in a text; without a year it is the next after the day on which it was said.

    >>> dates_in("before Christmas", datetime.date(2026, 3, 2))[0].day
    datetime.date(2026, 12, 24)
    """
    words = " ".join(words.split())
    fixed = (
        SaidDate(words=match[0], day=_fixed(match, since))
        for match in _FIXED.finditer(words)
        if not _TOLD_ON.search(words[max(match.start() - _NEAR, 0) : match.start()])
    )
    feasts = (
        SaidDate(words=match[0], day=_next(feast, since) if (feast := _feast(match)) else None)
        for match in _FEAST.finditer(words)
    )
    spans = (SaidDate(words=match[0], day=_after(match, since)) for match in _SPAN.finditer(words))
    return (*fixed, *feasts, *spans)


def _after(match: re.Match[str], since: datetime.date) -> datetime.date:
    word = match["count"].lower()
    count = int(word) if word.isdecimal() else SMALL.get(word, 1)
    return since + datetime.timedelta(days=count * _DAYS[match["unit"].lower()])


def _feast(match: re.Match[str]) -> tuple[int, int] | None:
    return None if match["soon"] else _FEASTS[match["feast"].lower()]


def _fixed(match: re.Match[str], since: datetime.date) -> datetime.date | None:
    text = next(caught for caught in match.groups() if caught).lower()
    try:
        if text[4:5] == "-":
            return datetime.date.fromisoformat(text)
        named = re.search(_MONTH, text)
        if named is None:  # 5.6.2026 is two days, in two countries
            return None
        month = _MONTHS[named[0].rstrip(".")]
        years, days = re.findall(r"\d{4}", text), re.findall(r"\b\d{1,2}(?!\d)", text)
        year = int(years[0]) if years else since.year
        day = int(days[0]) if days else calendar.monthrange(year, month)[1]
        return datetime.date(year, month, day) if years else _next((month, day), since)
    except ValueError:  # no day of the calendar: which one is meant has to be asked
        return None


def _next(of: tuple[int, int], since: datetime.date) -> datetime.date:
    day = datetime.date(since.year, *of)
    return day if day >= since else datetime.date(since.year + 1, *of)

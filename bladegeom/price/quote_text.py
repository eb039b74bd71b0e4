"""A quote as text for the terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from bladegeom.price.quote_copy import Copy, QuoteRow
from bladegeom.quantities.lettering import one_line

_WIDTH = 100
"""Of the whole, in letters."""

_AMOUNT = 22
"""Of the column of amounts, in letters: room for two amounts of a range."""


def quote_text(copy: Copy) -> str:
    """One line or several for each row, amounts in a column at the right."""
    return "\n".join(_lines(copy)) + "\n"


def _lines(copy: Copy) -> Iterator[str]:
    yield one_line(f"{copy.title}, design {copy.mark}")
    for text in copy.remarks:
        yield from textwrap.wrap(one_line(text), _WIDTH)
    for section in copy.sections:
        yield ""
        end = f" {copy.currency}" if any(row.amount for row in section.rows) else ""
        yield f"{section.title + ' ':-<{_WIDTH - len(end)}}{end}"
        for row in section.rows:
            yield from _row(row)
    yield ""
    for text in copy.foot:
        yield from textwrap.wrap(one_line(text), _WIDTH)


def _row(row: QuoteRow) -> Iterator[str]:
    text = one_line(f"{row.what}: {row.how}" if row.how else row.what)
    width = _WIDTH - _AMOUNT - 2 if row.amount else _WIDTH - 2
    first, *more = textwrap.wrap(text, width, subsequent_indent="  ")
    yield f"  {first:<{width}}{row.amount:>{_AMOUNT}}" if row.amount else f"  {first}"
    for line in more:
        yield f"  {line}"

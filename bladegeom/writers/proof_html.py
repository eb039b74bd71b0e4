"""Small pieces of HTML: text that is harmless whatever it says, tables, lists of pairs, sections."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from bladegeom.quantities.lettering import one_line
from bladegeom.quantities.units import show_length, show_mass, show_mm


def text(value: object) -> str:
    """A value as text that a page shows and never obeys."""
    return escape(one_line(str(value)))


def css_text(value: str) -> str:
    """A value inside the quotes of a style sheet: every sign but letters, digits and spaces told by its number.

    The space that ends a number is not shown.
    """
    return "".join(c if c == " " or c.isalnum() else f"\\{ord(c):x} " for c in one_line(value))


def size(mm: float) -> str:
    """A length in mm and inch that stays on one line."""
    return f'<span class="q">{text(show_length(mm))}</span>'


def grams(mass: float, *, sign: bool = False) -> str:
    """A mass, or a change of one with its sign, that stays on one line."""
    return f'<span class="q">{show_mass(mass, sign=sign)}</span>'


def shift(mm: float) -> str:
    """By how far a place moves, with its sign."""
    return f'<span class="q">{show_mm(mm, sign=True)} mm</span>'


def table(caption: str, head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table whose first column names its rows; on a narrow screen each row becomes a card.

    Args:
        caption: Plain text.
        head: Plain text of each column.
        rows: Cells, which are HTML already.
    """
    # Displayed as blocks on a narrow screen, a table keeps its meaning for a screen reader only with its roles.
    top = "".join(f'<th scope="col" role="columnheader">{text(one)}</th>' for one in head)
    body = "".join(_row(head, row) for row in rows)
    return (
        f'<table role="table"><caption>{text(caption)}</caption>'
        f'<thead role="rowgroup"><tr role="row">{top}</tr></thead><tbody role="rowgroup">{body}</tbody></table>\n'
    )


def _row(head: Sequence[str], row: Sequence[str]) -> str:
    first, *others = row
    cells = "".join(
        f'<td role="cell" data-label="{text(name)}">{cell}</td>' for name, cell in zip(head[1:], others, strict=True)
    )
    return f'<tr role="row"><th scope="row" role="rowheader">{first}</th>{cells}</tr>'


def pairs(rows: Iterable[tuple[str, str]]) -> str:
    """Names, which are plain text, and what belongs to them, which is HTML."""
    body = "".join(f"<div><dt>{text(name)}</dt><dd>{what}</dd></div>" for name, what in rows)
    return f"<dl>{body}</dl>\n"


def items(rows: Iterable[str]) -> str:
    """A list; its rows are HTML."""
    return "<ul>" + "".join(f"<li>{row}</li>" for row in rows) + "</ul>\n"


def section(key: str, title: str, body: str) -> str:
    """A part of the page under its heading; nothing where there is nothing in it."""
    if not body:
        return ""
    heading = f'<h2 id="{key}-title">{text(title)}</h2>'
    return f'<section id="{key}" aria-labelledby="{key}-title">\n{heading}\n{body}</section>\n'

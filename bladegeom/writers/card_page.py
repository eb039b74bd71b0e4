"""The job card as one HTML file to open offline, to mail, to print; without a script, like the proof."""

from __future__ import annotations

from bladegeom.knife.knife import Knife
from bladegeom.sheets.card_view import card_view
from bladegeom.signoff.card_table import Card, Cell, Column, Mark, Part, Table
from bladegeom.writers.card_style import CARD_STYLE
from bladegeom.writers.proof import POLICY
from bladegeom.writers.proof_figure import figure
from bladegeom.writers.proof_html import css_text, section, table, text
from bladegeom.writers.report_text import CAUTION

_WIDTH, _HEIGHT = 170.0, 60.0
"""Room of the drawing, mm: it fits on an upright page."""

_FIRST, _LEAST = 0.11, 0.07
"""Least share of the first column and of another, so that their names fit on an upright page."""


def card_page(card: Card, knife: Knife) -> bytes:
    """The page; the same card gives the same bytes.

    Args:
        card: What it says.
        knife: The design.
    """
    links = "".join(f'<li><a href="#{part.key}">{text(part.title)}</a></li>' for part in card.parts)
    body = "".join(section(part.key, part.title, _part(part, knife)) for part in card.parts)
    return (
        f'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{text(card.title)}</title>\n<style>{CARD_STYLE}{_widths(card)}{_foot(card)}</style>\n</head>\n<body>\n"
        f'<header>\n<p class="kicker">Job card of revision <b>{text(card.mark)}</b></p>\n'
        f"<h1>{text(card.name)}</h1>\n{_state(card)}"
        f'<nav aria-label="Parts of this page"><ul>{links}</ul></nav>\n</header>\n<main>\n{body}</main>\n'
        f"<footer><p>{text(card.title)}. {text(CAUTION)}</p></footer>\n</body>\n</html>\n"
    ).encode()


def _state(card: Card) -> str:
    if not card.remarks:
        return '<div class="state note"><p><b>No error stands.</b></p></div>\n'
    lines = "".join(f"<p><b>{text(one)}</b></p>" for one in card.remarks)
    return f'<div class="state error">{lines}</div>\n'


def _foot(card: Card) -> str:
    """In the lower margin of every printed page, three lines high: a remark by its code, its words stand on top."""
    stamps = (": ".join(one.split(": ")[:2]).rstrip(".") for one in card.remarks)
    name, small = css_text(". ".join((card.title, *stamps))), "font:8pt system-ui,sans-serif;color:#333"
    number = 'content:"page " counter(page) " of " counter(pages)'
    return f'@page{{@bottom-left{{content:"{name}";{small}}}@bottom-right{{{number};{small}}}}}\n'


def _widths(card: Card) -> str:
    """Columns of tables that are alike stand under each other; on a narrow screen there are none."""
    rules = ""
    for part in card.parts:
        kinds = {table.columns for table in part.tables}
        if len(part.tables) == 1 or len(kinds) != 1:
            continue
        rules += f"#{part.key} table{{table-layout:fixed}}#{part.key} .blank{{min-width:0;width:100%}}"
        (columns,) = kinds
        for i, column in enumerate(columns, start=1):
            least = _FIRST if i == 1 else _LEAST
            rules += f"#{part.key} th:nth-child({i}){{width:{100 * max(column.share, least):.1f}%}}"
    return f"@media print,(min-width:40.01rem){{{rules}}}\n"


def _part(part: Part, knife: Knife) -> str:
    lines = "".join(f"<li>{text(one)}</li>" for one in part.lines)
    drawn = ""
    if part.drawn:
        items, words = card_view(knife, _WIDTH, _HEIGHT)
        drawn = figure("view", "Side view.", words, items) + "\n"
    verdict = f'<p class="strong">{text(part.verdict)}</p>\n' if part.verdict else ""
    return f'{verdict}<ul class="lines">{lines}</ul>\n{drawn}{"".join(_table(one) for one in part.tables)}'


def _table(one: Table) -> str:
    head = [column.name or "kind" for column in one.columns]
    return table(one.title, head, (_row(one, cells) for cells in one.rows))


def _row(one: Table, cells: tuple[Cell, ...]) -> list[str]:
    return [_cell(cell, column, str(cells[0])) for cell, column in zip(cells, one.columns, strict=True)]


def _cell(cell: Cell, column: Column, row: str) -> str:
    if cell is Mark.BLANK:
        return '<span class="blank"></span>'
    if cell is Mark.TICK:
        return f'<input type="checkbox" aria-label="{text(f"{column.name}: {row}")}">'
    told = text(cell)
    return f'<span class="strong">{told}</span>' if column.strong and told else told

"""The job card as one HTML file to open offline, to mail, to print; without a script, like the proof."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.knife.knife import Knife
from bladegeom.sheets.card_view import card_view
from bladegeom.signoff.card_table import Card, Mark
from bladegeom.writers.html import html_page
from bladegeom.writers.proof_figure import proof_picture
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
    items, words = card_view(knife, _WIDTH, _HEIGHT)
    return html_page(
        "card.html.j2",
        title=card.title,
        card=card,
        picture=proof_picture("view", "Side view.", words, items),
        widths=dict(_widths(card)),
        foot=_foot(card),
        caution=CAUTION,
        BLANK=Mark.BLANK,
        TICK=Mark.TICK,
    )


def _foot(card: Card) -> str:
    """In the lower margin of every printed page, three lines high: a remark by its code, its words stand on top."""
    stamps = (": ".join(remark.split(": ")[:2]).rstrip(".") for remark in card.remarks)
    return ". ".join((card.title, *stamps))


def _widths(card: Card) -> Iterator[tuple[str, list[str]]]:
    """Of parts whose tables are alike, per cent of each column, so that they stand under each other."""
    for part in card.parts:
        kinds = {table.columns for table in part.tables}
        if len(part.tables) == 1 or len(kinds) != 1:
            continue
        (columns,) = kinds
        least = (_FIRST, *(_LEAST for _ in columns[1:]))
        shares = (max(column.share, low) for column, low in zip(columns, least, strict=True))
        yield part.key, [f"{100 * share:.1f}" for share in shares]

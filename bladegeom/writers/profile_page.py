"""All profiles on one page for a browser: a small picture of each, drawn inside the page; no other file is needed."""

from __future__ import annotations

import html
from collections.abc import Sequence
from dataclasses import dataclass

from bladegeom.drawing.drawing import Drawing
from bladegeom.writers.svg import svg_of_drawing

_STYLE = """
body { font-family: Helvetica, Arial, sans-serif; max-width: 75rem; margin: 2rem auto; padding: 0 1rem; color: #222; }
.profiles { display: grid; grid-template-columns: repeat(auto-fill, minmax(21rem, 1fr)); gap: 1.5rem 2rem; }
figure { margin: 0; }
svg { height: auto; display: block; margin-bottom: 0.4rem; }
figcaption b { display: block; font-family: monospace; font-size: 1.05rem; }
table { font-size: 0.85rem; border-collapse: collapse; margin-top: 0.4rem; }
td { padding: 0.1rem 0.7rem 0.1rem 0; vertical-align: top; }
summary { color: #555; cursor: pointer; }
"""

_MARGIN = 0.5
"""Round each picture, mm."""


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One profile on the page.

    Args:
        name: As it is asked for.
        words: What it is, in a sentence.
        picture: Of it.
        rows: Of its parameters: name, how it comes, range, meaning.
    """

    name: str
    words: str
    picture: Drawing
    rows: Sequence[tuple[str, ...]]


def profile_page(groups: Sequence[tuple[str, Sequence[Entry]]]) -> bytes:
    """The page.

    Args:
        groups: Headings, each with its profiles.
    """
    widest = max(_width(entry.picture) for _, entries in groups for entry in entries)
    body = "\n".join(
        f"<h2>{_text(heading)}</h2>\n<div class='profiles'>\n{''.join(_figure(one, widest) for one in entries)}</div>"
        for heading, entries in groups
    )
    page = (
        "<!DOCTYPE html>\n<html lang='en'>\n<head>\n<meta charset='utf-8'>\n<title>Profiles</title>\n"
        f"<style>{_STYLE}</style>\n</head>\n<body>\n<h1>Profiles</h1>\n"
        "<p>Each as it comes, blades on a swelled handle, handles on a drop point; lengths in mm.</p>\n"
        f"{body}\n</body>\n</html>\n"
    )
    return page.encode()


def _figure(entry: Entry, widest: float) -> str:
    """A picture with its words; all pictures of a page have one scale."""
    share = 100 * _width(entry.picture) / widest
    drawn = svg_of_drawing(entry.picture, margin=_MARGIN).decode()
    drawn = drawn.replace("<svg ", f"<svg style='width: {share:.1f}%' ", 1)
    return (
        f"<figure>\n{drawn}\n"
        f"<figcaption><b>{_text(entry.name)}</b>{_text(entry.words)}\n"
        f"<details><summary>parameters</summary><table>{_rows(entry.rows)}</table></details></figcaption>\n</figure>\n"
    )


def _width(picture: Drawing) -> float:
    """Of a picture with its margins, mm."""
    x0, _, x1, _ = picture.bounds
    return x1 - x0 + 2 * _MARGIN


def _rows(rows: Sequence[tuple[str, ...]]) -> str:
    return "".join(f"<tr>{''.join(f'<td>{_text(cell)}</td>' for cell in row)}</tr>" for row in rows)


def _text(text: str) -> str:
    return html.escape(text)

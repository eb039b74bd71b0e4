"""Pages in HTML from the templates beside this file: whatever a value says, a page shows it and never obeys it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from html import escape
from importlib.resources import files
from typing import Final

from jinja2 import DictLoader, Environment, StrictUndefined
from markupsafe import Markup

from bladegeom.drawing.drawing import Drawing, Item
from bladegeom.quantities.lettering import one_line
from bladegeom.writers.svg import data_uri, svg_elements, svg_of_drawing

_FOLDER: Final = files("bladegeom.writers") / "templates"


def html_page(template: str, **values: object) -> bytes:
    """A page; the same values give the same bytes.

    Args:
        template: Name of its file in ``templates``.
        values: What it is to say, by the names that the template has for them: plain values, no HTML.

    Raises:
        jinja2.UndefinedError: The template asks for a value that is not given.
    """
    return _environment().get_template(template).render(values).encode()


@cache
def _environment() -> Environment:
    sources = {file.name: file.read_text(encoding="utf-8") for file in _FOLDER.iterdir()}
    out = Environment(
        loader=DictLoader(sources),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_shown,
        keep_trailing_newline=True,
        # A style sheet may say "@media print{#side ...": that is no remark of ours.
        comment_start_string="{##",
        comment_end_string="##}",
    )
    out.filters |= {"css_text": css_text, "data_uri": data_uri, "elements": _elements, "picture": _picture}
    # What a script reads: plain values, in which no sign can end the script that holds them.
    out.policies["json.dumps_kwargs"] = {"sort_keys": True, "allow_nan": False, "separators": (",", ":")}
    # Style sheets are handed over whole: nothing in them is ours to read.
    out.globals["css"] = lambda name: Markup(sources[name])
    return out


def _shown(value: object) -> Markup:
    """A value as text on one line; what a template or the writer of SVG has made stays as it is."""
    if value is None:
        raise TypeError("a page was to show None: say in the template what stands in its place")
    return value if isinstance(value, Markup) else Markup(escape(one_line(str(value))))


def css_text(value: str) -> Markup:
    """A value inside the quotes of a style sheet: every sign but letters, digits and spaces told by its number.

    The space that ends a number is not shown.
    """
    return Markup("".join(c if c == " " or c.isalnum() else f"\\{ord(c):x} " for c in one_line(value)))


def _elements(items: Sequence[Item]) -> Markup:
    """Items as elements of an SVG picture that the template begins and ends."""
    return Markup(svg_elements(items))


def _picture(drawing: Drawing, margin: float) -> Markup:
    """A drawing as a whole SVG picture."""
    return Markup(svg_of_drawing(drawing, margin=margin).decode())

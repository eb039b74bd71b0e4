"""Pages from templates: values are shown, never obeyed, what is missing is refused, no page asks for another file."""

from __future__ import annotations

import ast
import re
from html.parser import HTMLParser
from importlib.resources import files
from pathlib import Path

import pytest
from jinja2 import Environment, StrictUndefined, UndefinedError, meta

from bladegeom.writers import html
from bladegeom.writers.html import css_text, html_page

PACKAGE = Path(__file__).resolve().parents[1] / "bladegeom"
TEMPLATES = {
    file.name: file.read_text(encoding="utf-8") for file in files("bladegeom.writers").joinpath("templates").iterdir()
}
NASTY = "<script>alert(\"x\")</script> & 'y' </style>\n\x00"


def rendered(source: str, **values: object) -> str:
    return html._environment().from_string(source).render(values)


def test_a_value_is_text_on_one_line_wherever_it_stands() -> None:
    shown = rendered('<p title="{{ value }}">{{ value }}</p>', value=NASTY)
    read: list[object] = []

    class Reader(HTMLParser):
        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            read.append((tag, dict(attrs)))

        def handle_data(self, data: str) -> None:
            read.append(data)

    Reader().feed(shown)
    words = NASTY.replace("\n", " ").replace("\x00", " ")
    assert read == [("p", {"title": words}), words]


def test_a_value_in_a_style_sheet_ends_no_string() -> None:
    shown = css_text('x"; } </style> \\')
    assert not set(shown) & set('";}<>')
    # CSS Syntax 3, section 4.3.7: a backslash, hexadecimal digits and one space are one letter.
    assert re.sub(r"\\([0-9a-f]+) ", lambda code: chr(int(code[1], 16)), shown) == 'x"; } </style> \\'


def test_what_is_missing_or_nothing_is_refused() -> None:
    with pytest.raises(UndefinedError):
        rendered("{{ absent }}")
    with pytest.raises(UndefinedError):
        rendered("{{ held.absent }}", held=object())
    with pytest.raises(TypeError, match="None"):
        rendered("{{ value }}", value=None)
    with pytest.raises(UndefinedError):
        html_page("card.html.j2")


def test_every_template_is_used_and_every_one_that_is_used_is_there() -> None:
    known = Environment(
        undefined=StrictUndefined, comment_start_string="{##", comment_end_string="##}", autoescape=True
    )
    known.filters |= html._environment().filters
    named = {
        name
        for source in (source for file, source in TEMPLATES.items() if file.endswith(".j2"))
        for name in (*meta.find_referenced_templates(known.parse(source)), *re.findall(r'css\("(.*?)"\)', source))
    }
    asked = set(re.findall(r'"([\w.]+\.html\.j2)"', "".join(p.read_text() for p in PACKAGE.glob("writers/*.py"))))
    assert named | asked == set(TEMPLATES)


@pytest.mark.parametrize("name", TEMPLATES)
def test_nothing_in_a_template_asks_for_another_file(name: str) -> None:
    assert not re.search(r'<img (?!src="data:image/png;base64,\{\{ )', TEMPLATES[name])
    assert not re.search(r"url\(|@import|<script[^>]*\ssrc=|<link|<iframe|https?:|\son\w+=|\bsafe\b", TEMPLATES[name])
    # The knife to turn is drawn by scripts in its page, which its policy names by their checksums.
    assert ("<script" in TEMPLATES[name]) == (name == "turning.html.j2")


def test_no_module_writes_html() -> None:
    tag = re.compile(
        r"</?(a|b|body|dd|div|dl|dt|figure|h\d|head|html|input|li|main|nav|p|section|span|svg|t[dhr]|table|ul)[ >]"
    )
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and "(?P<" not in node.value:
                found = tag.search(node.value)
                # The pictures of a watch are shapes with classes, written as text in this one module.
                assert not found or (path.name, found[1]) == ("svg_text.py", "svg"), f"{path.name}, line {node.lineno}"

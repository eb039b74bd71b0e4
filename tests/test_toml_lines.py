"""Lines of keys in TOML: every key that Python's own reader finds has one, the one that it was put on."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator

from hypothesis import given
from hypothesis import strategies as st

from bladegeom.commands.starter import starter_prices
from bladegeom.quantities.toml_lines import Keys, key_lines

TRICKY = '''# [no.table]
a = """
[not.a.head]
b = 1 \\""" # still
"""
c.d.e = [ # a remark with ] and }
  { x = 1, y = "}]" },

  [2, [3,
    4]],
]
"odd . [key]" = \'\'\'
z = "\'\'\'
[t]
when = 2026-03-02 10:00:00
[[t.list]]
k = 1.5e-3
[t.list.sub]
m = {}
[[t.list]]
k = [
]
'''


def paths(value: object, path: Keys = ()) -> Iterator[Keys]:
    """All keys of what the reader of Python's library gives."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, held in items:
        yield (*path, key)
        yield from paths(held, (*path, key))


def test_strings_remarks_and_heads_are_told_apart() -> None:
    lines = key_lines(TRICKY)
    assert set(paths(tomllib.loads(TRICKY))) == set(lines)
    told = {
        ("a",): 2,
        ("c", "d"): 6,
        ("c", "d", "e", 0, "y"): 7,
        ("c", "d", "e", 1, 1, 1): 10,
        ("odd . [key]",): 12,
        ("t",): 14,
        ("t", "when"): 15,
        ("t", "list", 0, "k"): 17,
        ("t", "list", 0, "sub", "m"): 19,
        ("t", "list", 1, "k"): 21,
    }
    assert {path: lines[path] for path in told} == told


def test_every_key_of_a_price_list_stands_on_its_line() -> None:
    prices = starter_prices()
    lines, text = key_lines(prices), prices.split("\n")
    found = [path for path in paths(tomllib.loads(prices)) if isinstance(path[-1], str)]
    assert len(found) > 150
    for path in found:
        assert str(path[-1]) in text[lines[path] - 1]


NAMES = st.text("abc.[]{}\"'#= é\n", max_size=5)
VALUES = st.recursive(
    st.integers(0, 9) | st.text("ab]}[{#,'\"\n=", max_size=6) | st.booleans(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(NAMES, inner, max_size=3),
    max_leaves=8,
)


def written(value: object) -> str:
    """TOML of a value, tables in line, each entry of a list on a line of its own."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + "".join(f"\\u{ord(c):04x}" if c in '"\\\n' else c for c in value) + '"'
    if isinstance(value, list):
        return "[\n" + "".join(f"{written(entry)}, # ]\n" for entry in value) + "]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{written(key)} = {written(entry)}" for key, entry in value.items()) + "}"
    return str(value)


@given(st.lists(st.tuples(NAMES, VALUES), max_size=4, unique_by=lambda pair: pair[0]))
def test_random_tables(pairs: list[tuple[str, object]]) -> None:
    text, starts = "", {}
    for name, value in pairs:
        starts[name] = text.count("\n") + 1
        text += f"{written(name)} = {written(value)}\n"
    lines = key_lines(text)
    assert set(paths(tomllib.loads(text))) == set(lines)
    assert {name: lines[(name,)] for name in starts} == starts

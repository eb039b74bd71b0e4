"""Defaults put back into a script: what is written, all that stays, and what is refused."""

from __future__ import annotations

import ast
import re
import stat
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from textwrap import dedent

import pytest
from draws import draws
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_tells

from bladegeom import Design, ParameterError, UnknownNameError, write_defaults
from bladegeom.commands.starter import starter_script
from bladegeom.commands.write_defaults import put_into
from bladegeom.design.script import load_script
from bladegeom.quantities.file_errors import ExportError, ScriptError

KNIFE = starter_script("sample", blade="drop_point", handle="straight")


def script(folder: Path, text: str, name: str = "k.py") -> Path:
    path = folder / name
    path.write_bytes(dedent(text).encode())
    return path


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def rewritten(folder: Path, text: str, **values: object) -> str:
    path = script(folder, text)
    write_defaults(path, **values)
    return path.read_bytes().decode()


@pytest.mark.parametrize(
    ("old", "typed", "new"),
    [
        ('inch("3/16")', "1/4 in", 'inch("1/4")'),
        ("inch('3/16')", '1-1/4"', "inch('1-1/4')"),
        ('inch("3/16")', "5", "5.0"),
        ('inch("3/16")', "12 thou", "0.3048"),
        ("inch(0.25)", ".300 in", "inch(0.3)"),
        ("inch(0.25)", "5/16 in", 'inch("5/16")'),
        ("bladegeom.inch( '3/16' )", "1/4 in", "bladegeom.inch( '1/4' )"),
        ('length("3/16 in")', "1/4 inch", 'length("1/4 in")'),
        ('length("3/16 in")', "4.2 mm", "4.2"),
        ("4.75 * 25.4", "5 in", "127.0"),
        ("(4.75 * 25.4)", "120.7", "(120.7)"),
        ("STANDARD", "4.1", "4.1"),
        ("max(3.0, STANDARD)", "4", "4.0"),
        ("-2.5", "-3.25", "-3.25"),
        ("4", "4.5", "4.5"),
        ("4", "5", "5"),
        ("4.0", "0.1", "0.1"),
    ],
)
def test_a_number_keeps_the_form_of_its_default_where_it_can(tmp_path: Path, old: str, typed: str, new: str) -> None:
    before = f"""\
        import bladegeom
        from bladegeom import inch, length
        STANDARD = 3.0
        def design(at: float = {old}, other=2.0):
            return at
        """
    after = rewritten(tmp_path, before, at=typed)
    assert after == dedent(before).replace(f"= {old},", f"= {new},")


@pytest.mark.parametrize(
    ("old", "value", "new"),
    [
        ('"1.4116"', "1095", '"1095"'),
        ("'1.4116'", "1095", "'1095'"),
        ('"1.4116"', 'say "so"', "'say \"so\"'"),
        ('"a" "b"', "c", '"c"'),
        ('"""a) (b"""', "c\n", '"c\\n"'),
        ("True", "no", "False"),
        ("False", True, "True"),
        ("2", 3, "3"),
        ("2", "3", "3"),
    ],
)
def test_texts_and_answers(tmp_path: Path, old: str, value: object, new: str) -> None:
    annotation = ": Literal[2, 3] " if old == "2" else ""
    before = f"from typing import Literal\ndef design(what{annotation}={old}):\n    return what\n"
    assert rewritten(tmp_path, before, what=value) == before.replace(f"={old}", f"={new}")


def test_the_words_say_what_is_written(tmp_path: Path) -> None:
    path = script(tmp_path, KNIFE)
    assert write_defaults(path, blade_length="4-3/4 in") == ("blade_length: 110.0 becomes 120.65",)
    assert Design.from_script(path).knife.outline.tip[0] == pytest.approx(4.75 * 25.4)
    assert write_defaults(path, blade_length=120.65) == ()


ODD = '''\
#!/usr/bin/env python
"""A knife: def design(blade_length=1.0) is only a word here."""

class Other:
    def design(self, blade_length=1.0):
        return 1


def outer():
    def design(blade_length=2.0):
        return 2
    return design

def design(blade_length=3.0): return 3   # an earlier one
@(lambda function: function)
def design(  # the real one
    # over all, as ordered (blade_length=110.0)
    blade_length:float=110.0,# = 110.0
    *,
\theight : "float" = ( 27.5
    ), steel: str = "a, b=(1.4116)", # of the bar
    edge_deg\\
      = 13.0
) -> "Knife":
    return blade_length, height, steel, edge_deg
'''


def test_only_the_defaults_of_the_design_itself_change(tmp_path: Path) -> None:
    path = script(tmp_path, ODD)
    write_defaults(path, blade_length=111.5, height=30, steel="x)", edge_deg="15")
    expected = (
        ODD.replace("float=110.0,#", "float=111.5,#")
        .replace("( 27.5", "( 30.0")
        .replace('"a, b=(1.4116)"', '"x)"')
        .replace("      = 13.0", "      = 15.0")
    )
    assert path.read_bytes().decode() == expected
    assert load_script(path).function() == (111.5, 30.0, "x)", 15.0)


def test_a_partial_function_may_set_others(tmp_path: Path) -> None:
    text = """\
        import functools
        def design(a=1.0, b=2.0):
            return a, b
        design = functools.partial(design, b=5.0)
        """
    path = script(tmp_path, text)
    with pytest.raises(ScriptError) as caught:
        write_defaults(path, a=4.0)
    assert_tells(str(caught.value), "def", "by hand")
    assert path.read_bytes().decode() == dedent(text)


@pytest.mark.parametrize(
    ("text", "facts"),
    [
        ("design = lambda a=1.0: a\n", ("by hand",)),
        ("def make():\n    def design(a=1.0):\n        return a\n    return design\ndesign = make()\n", ("by hand",)),
        ("class Maker:\n    def __call__(self, a=1.0):\n        return a\ndesign = Maker()\n", ("'def'", "by hand")),
        ("def design(a=(1.0 +  # as measured\n0.5)):\n    return a\n", ("comment", "line 1")),
        ("def design(a=1.0):\n    return a\ndesign.__defaults__ = (3.0,)\n", ("sets a again, to 3",)),
        ("def design(a=1.0):\n    return a\nassert design() == 1.0, 'so it was ordered'\n", ("so it was ordered",)),
    ],
)
def test_what_cannot_be_done_safely_is_refused_and_nothing_is_written(
    tmp_path: Path, text: str, facts: tuple[str, ...]
) -> None:
    path = script(tmp_path, text)
    with pytest.raises(ScriptError) as caught:
        write_defaults(path, a=2.0)
    assert_tells(str(caught.value), *facts)
    assert path.read_text() == text
    assert contents(tmp_path) == {"k.py": text.encode()}


MADE = (
    KNIFE.partition("def design")[0]
    + """
def made(at):
    return Knife(
        name="Bare",
        outline=join_halves(DropPoint(blade_length=at), Straight()),
        stock=Stock(steel="1.4116", thickness=3.5),
        grind=Grind(bevel=FlatBevel(height=17.0, edge_thickness=0.4), plunge=Plunge(x=0.0)),
    )
"""
)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("n = 90.0\ndef design(a=(n := 100.0)):\n    return made(n)\n", id="sets another name"),
        pytest.param("at = [90.0]\ndef design(a=at.pop()):\n    return made((at or [a])[0])\n", id="takes from a list"),
        pytest.param("def design(a=100.0):\n    return made(design.__defaults__[0])\n", id="is asked for"),
        pytest.param(
            "at = {}\ndef known(x):\n    at['a'] = x\n    return x\n"
            "def design(a=known(100.0)):\n    return made(at.get('a', 90.0))\n",
            id="is kept by a call",
        ),
    ],
)
def test_a_default_on_which_more_hangs_is_left_alone(tmp_path: Path, text: str) -> None:
    path = script(tmp_path, MADE + text)
    with pytest.raises(ScriptError) as caught:
        write_defaults(path, a=110.0)
    assert_tells(str(caught.value), "another knife", "a as the default", "by hand")
    assert path.read_text() == MADE + text


@pytest.mark.parametrize(
    "text",
    [
        "def design(a):\n    return a\ndesign.__defaults__ = (1.0,)\n",
        "def design(*, a):\n    return a\ndesign.__kwdefaults__ = {'a': 1.0}\n",
    ],
)
def test_a_default_that_no_def_holds_is_refused(tmp_path: Path, text: str) -> None:
    path = script(tmp_path, text)
    with pytest.raises(ScriptError) as caught:
        write_defaults(path, a=2.0)
    assert_tells(str(caught.value), "line 1", "default of a", "by hand")
    assert path.read_text() == text


def test_a_number_that_is_none_elsewhere_is_no_hindrance(tmp_path: Path) -> None:
    before = "def design(a=1.0, b=float('nan')):\n    return a\n"
    assert rewritten(tmp_path, before, a=2.0) == before.replace("1.0", "2.0")


def test_a_design_of_another_file_is_told_with_it(tmp_path: Path) -> None:
    script(tmp_path, "def design(a=1.0):\n    return a\n", "shapes.py")
    path = script(tmp_path, "from shapes import design\n")
    with pytest.raises(ScriptError, match=r"shapes\.py"):
        write_defaults(path, a=2.0)


@pytest.mark.parametrize(
    ("values", "error"),
    [
        ({"c": 2.0}, UnknownNameError),
        ({"a": "long"}, ParameterError),
        ({"a": float("nan")}, ParameterError),
        ({"a": True}, ParameterError),
        ({"n": 2.5}, ParameterError),
        ({"yes": 1}, ParameterError),
        ({"text": 3}, ParameterError),
        ({"none": 3}, ParameterError),
        ({"side": "up"}, ParameterError),
        ({"side": 3}, ParameterError),
    ],
)
def test_values_are_of_the_kind_of_the_default(tmp_path: Path, values: dict[str, object], error: type) -> None:
    text = """\
        from typing import Literal
        def design(a=1.0, n: int = 2, yes=True, text="x", none=None, side: Literal["left", "right"] = "left"):
            return a
        """
    path = script(tmp_path, text)
    with pytest.raises(error):
        write_defaults(path, **values)
    assert path.read_bytes().decode() == dedent(text)


def test_encodings_and_line_ends_stay(tmp_path: Path) -> None:
    text = "# coding: latin-1\r\n# h\xf6he\rdef design(h\xf6he=1.0, what='\xe4'):\r\n    return h\xf6he, what\n"
    path = tmp_path / "k.py"
    path.write_bytes(text.encode("latin-1"))
    write_defaults(path, höhe=2.5, what="\u0416")
    expected = text.replace("=1.0", "=2.5").replace("'\xe4'", r"'\u0416'")
    assert path.read_bytes() == expected.encode("latin-1")
    path.write_bytes(b"\xef\xbb\xbf" + b"def design(a=1.0):\n    return a\n")
    write_defaults(path, a=2.0)
    assert path.read_bytes() == b"\xef\xbb\xbf" + b"def design(a=2.0):\n    return a\n"


@pytest.mark.skipif(sys.platform == "win32", reason="modes of files as Unix has them")
def test_the_mode_of_the_file_stays(tmp_path: Path) -> None:
    path = script(tmp_path, "def design(a=1.0):\n    return a\n")
    path.chmod(0o750)
    write_defaults(path, a=2.0)
    assert stat.S_IMODE(path.stat().st_mode) == 0o750


def _link(path: Path) -> None:
    path.rename(path.with_name("real.py"))
    path.symlink_to("real.py")


def _saved(path: Path) -> None:
    path.write_bytes(path.read_bytes() + b"# a later thought\n")


def _linked(path: Path) -> None:
    path.with_name("other.py").hardlink_to(path)


@pytest.mark.parametrize(("spoil", "fact"), [(_link, "real.py"), (_linked, "another name"), (_saved, "changed since")])
def test_a_link_or_a_file_that_changed_is_not_written(tmp_path: Path, spoil: Callable[[Path], None], fact: str) -> None:
    path = script(tmp_path, "def design(a=1.0):\n    return a\n")
    read = load_script(path)
    spoil(path)
    before = contents(tmp_path)
    with pytest.raises(ExportError, match=fact):
        put_into(read, {"a": 2.0}, {})
    assert contents(tmp_path) == before


@dataclass(frozen=True)
class Written:
    """A script in pieces: what stands between the defaults, the defaults, and what they are to become."""

    between: tuple[str, ...]
    old: tuple[str, ...]
    names: tuple[str, ...]
    values: dict[str, object]
    encoding: str

    @property
    def text(self) -> str:
        return "".join(a + b for a, b in zip(self.between, (*self.old, ""), strict=True))


NAMES = ("blade_length", "height", "thickness", "h\xf6he", "steel", "lean_deg", "n", "x1")
NUMBERS = ("105.0", "1_05.5", ".5", "4e1", "-2.5", 'inch("5/32")', "4.75 * 25.4", "(3.0)", "STANDARD", "3", "[1.0][0]")
TEXTS = ('"1.4116"', "'a) (b=1.0'", '"""two\nlines"""', '"h\xf6he" ","', "str(STANDARD)")
GAPS = ("", " ", "  ", "\t", "\n    ", " # a = 1.0, b) said\n  ", "\n\n\t# (\n", " \\\n  ", "\x0c")
ANNOTATIONS = ("", ": float", ":float", ' : "float"', ": Annotated[float, 'a=1.0)']")


@st.composite
def scripts(draw: st.DrawFn) -> Written:
    """Signatures in every layout that a hand may give them."""
    gap = st.sampled_from(GAPS)
    names = tuple(draw(st.lists(st.sampled_from(NAMES), min_size=1, max_size=6, unique=True)))
    star = draw(st.integers(0, len(names)))
    between, old, piece = (
        [],
        [],
        draw(st.sampled_from(("", "# design(a=1.0)\n", '"""def design(height=1.0)"""\n', "\n"))),
    )
    piece += "from typing import Annotated\nfrom bladegeom import inch\nSTANDARD = 3.25\n"
    piece += draw(
        st.sampled_from(("", "class A:\n    def design(self, height=1.0): ...\n", "def design(x=2.0): ...\n"))
    )
    piece += draw(st.sampled_from(("", "@(lambda f: f)\n", "@staticmethod\n@(lambda f:\n  f)\n")))
    piece += f"def design{draw(st.sampled_from(('', ' ')))}("
    values: dict[str, object] = {}
    for i, name in enumerate(names):
        is_text = name == "steel"
        annotation = draw(st.sampled_from(("", ": str") if is_text else ANNOTATIONS))
        star_text = f"*{draw(gap)},{draw(gap)}" if i == star else ""
        piece += f"{draw(gap)}{star_text}{name}{annotation}{draw(gap)}={draw(gap)}"
        between.append(piece)
        old.append(draw(st.sampled_from(TEXTS if is_text else NUMBERS)))
        piece = draw(gap) + (", " if i < len(names) - 1 or draw(st.booleans()) else "")
        if draw(st.booleans()):
            number = st.floats(-1e6, 1e6).map(lambda x: x + 0.0)
            values[name] = draw(st.text(st.characters(codec="utf-8"), max_size=8) if is_text else number)
    piece += f"{draw(gap)}):\n    return {{{', '.join(f'{name!r}: {name}' for name in names)}}}\n# height=1.0\n"
    ends, encoding = (
        draw(st.sampled_from(("\n", "\r\n", "\r"))),
        draw(st.sampled_from(("utf-8", "utf-8-sig", "latin-1"))),
    )
    cookie = f"# -*- coding: {encoding} -*-\n" if encoding == "latin-1" else ""
    between.append(piece)
    between[0] = cookie + between[0]
    pieces, defaults = ([row.replace("\n", ends) for row in rows] for rows in (between, old))
    return Written(tuple(pieces), tuple(defaults), names, values, encoding)


@draws(150)
@given(written=scripts())
def test_all_but_the_defaults_stays_byte_for_byte(written: Written, tmp_path_factory: pytest.TempPathFactory) -> None:
    path = tmp_path_factory.mktemp("written") / "k.py"
    path.write_bytes(written.text.encode(written.encoding))
    before = load_script(path)
    defaults = dict(before.function())  # type: ignore[call-overload]
    write_defaults(path, **written.values)
    text = path.read_bytes().decode(written.encoding)
    moved = [name in written.values and written.values[name] != defaults[name] for name in written.names]
    slots = ["(.*?)" if is_moved else re.escape(old) for is_moved, old in zip(moved, written.old, strict=True)]
    pattern = "".join(re.escape(a) + b for a, b in zip(written.between, (*slots, ""), strict=True))
    found = re.fullmatch(pattern, text, re.DOTALL)
    assert found
    wanted = [written.values[name] for name, is_moved in zip(written.names, moved, strict=True) if is_moved]
    assert [ast.literal_eval(new) for new in found.groups()] == wanted
    assert load_script(path).function() == defaults | written.values

"""A maker's script: what it may be, how its parameters are overridden, and how its mistakes are told."""

from __future__ import annotations

import itertools
import re
import sys
import types
from pathlib import Path
from textwrap import dedent

import pytest
from draws import quick_rows
from refusals import assert_refused, assert_tells, refusal, unknown

import bladegeom
from bladegeom import profiles
from bladegeom.commands.drawer import names_of
from bladegeom.commands.starter import starter_script
from bladegeom.design.script import Script, _Folder, load_script
from bladegeom.findings.check import check
from bladegeom.knife.knife import Knife
from bladegeom.outline.blade import NotchedBlade
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.file_errors import ExportError, ScriptError

WORKING = starter_script("sample", blade="drop_point", handle="straight")


def script(folder: Path, text: str, name: str = "k.py") -> Path:
    path = folder / name
    path.write_text(dedent(text), encoding="utf-8")
    return path


def design(folder: Path, signature: str, body: str = "return KNIFE", before: str = "") -> Script:
    """A script whose design has a signature of its own, and keeps the values it was called with in CALLED."""
    names = re.findall(r"(\w+)\s*(?::[^=,]*)?=", signature)
    values = ", ".join(f"{name!r}: {name}" for name in names)
    text = WORKING.replace("def design(", "def working(")
    lines = [
        before,
        text,
        "CALLED = {}",
        "KNIFE = working()",
        f"def design({signature}):",
        f"    CALLED.update({{{values}}})",
    ]
    return load_script(script(folder, "\n".join([*lines, f"    {body}"])))


def called(other_script: Script, *overrides: str) -> dict[str, object]:
    return other_script.knife(other_script.read(overrides))[1]


def test_starter_script_works_and_tells_its_parameters(tmp_path: Path) -> None:
    knife, parameters = load_script(script(tmp_path, WORKING)).knife()
    assert isinstance(knife, Knife)
    assert knife.name == "Sample"
    assert parameters["blade_length"] == knife.outline.tip[0]


@pytest.mark.parametrize(
    ("signature", "override", "value"),
    [
        ("a: float = 110.0", "a=4-3/4 in", 120.65),  # 4.75 x 25.4, by definition of the inch
        ("a: float = 110.0", "a= 3/16 in ", 4.7625),
        ("a: float = 110.0", "a=120", 120.0),
        ("a: float = 110", "a=120", 120.0),
        ("a=110", "a=4-3/4 in", 120.65),
        ("a=110", "a=120", 120),
        ("a=110.0", "a=.5", 0.5),
        ("a: float = 1.0", "a=-5 mm", -5.0),
        ("lean_deg: float = 0.0", "lean_deg=-12.5", -12.5),
        ("mass_g=10.0", "mass_g=12", 12.0),
        ("count: int = 2", "count=3", 3),
        ("steel='1084'", "steel=1.4116", "1.4116"),
        ("steel: str = ''", "steel=a=b", "a=b"),
        ("steel: str = 'x'", "steel=", ""),
        ("on=True", "on=no", False),
        ("on=False", "on=YES", True),
        ("on: bool = False", "on=true", True),
    ],
)
def test_overrides(tmp_path: Path, signature: str, override: str, value: object) -> None:
    got = called(design(tmp_path, signature), override)[override.partition("=")[0]]
    assert got == value
    assert type(got) is type(value)


@pytest.mark.parametrize(
    ("signature", "override", "told"),
    [
        ("a=1.0", "a=nan", "a | does not begin"),
        ("a=1.0", "a=inf", "a | length"),
        ("a=1.0", "a=1e400", "a | length"),
        ("a=1.0", "a=", "a | empty"),
        ("a=1.0", "a=3/16", "a | fraction"),
        ("a=1.0", "a=1,5", "a | decimal point"),
        ("a=1.0", "a=4 parsec", "a | 'parsec' | mm, cm, in"),
        ("lean_deg=1.0", "lean_deg=1 in", "lean_deg"),
        ("lean_deg=1.0", "lean_deg=nan", "lean_deg"),
        ("count: int = 2", "count=2.5", "count | whole"),
        ("count: int = 2", "count=2 mm", "count | unit"),
        ("on=True", "on=1", "on | yes"),
        ("a=(1, 2)", "a=1", "a | script"),
        ("a=None", "a=1", "a | script"),
        ("a=1.0", "a", "parameter | NAME=VALUE"),
    ],
)
def test_values_that_cannot_be_read(tmp_path: Path, signature: str, override: str, told: str) -> None:
    with pytest.raises(ParameterError) as caught:
        called(design(tmp_path, signature), override)
    assert_refused(caught.value, told)


def test_unknown_parameter_names_the_nearest(tmp_path: Path) -> None:
    with pytest.raises(UnknownNameError, match=re.escape(unknown("parameter", "blade_lenght", "blade_length"))):
        called(load_script(script(tmp_path, WORKING)), "blade_lenght=120")


def test_annotations_may_be_postponed(tmp_path: Path) -> None:
    text = f"from __future__ import annotations\n{WORKING}".replace("= 110.0,", "= 110,")
    parameters = called(load_script(script(tmp_path, text)), "blade_length=120")
    assert type(parameters["blade_length"]) is float


def test_scripts_are_read_as_they_are_written(tmp_path: Path) -> None:
    """Our own postponed annotations are not handed on."""
    other_script = design(tmp_path, "a: float = 1.0")
    assert other_script.parameters["a"].annotation is float


@pytest.mark.parametrize(
    ("text", "line", "message"),
    [
        ("x = 1\n", None, "defines no design(); write 'def design(...) -> Knife:' with a default for everything"),
        ("design = 5\n", None, "defines no design()"),
        ("design = dict\n", None, "design must be a function of its own"),
        ("\ndef design(a, b=1): ...\n", 2, "design(): parameter 'a' needs a name and a default value"),
        ("def design(*a): ...\n", 1, "design(): parameter '*a' needs a name and a default value"),
        ("def design(**kw: float): ...\n", 1, "design(): parameter '**kw' needs a name and a default value"),
        ("def design(a=1, /): ...\n", 1, "design(): parameter 'a=1' needs a name and a default value"),
        ("x = 1\ndef design(:\n", 2, "is no Python as it stands: invalid syntax"),
        ("if True:\nx = 1\n", 2, "is no Python as it stands: expected an indented block"),
        ("x = '\\N{no such letter}'\n", 1, "is no Python as it stands"),
        ("\n\n1 / 0\n", 3, "ZeroDivisionError: division by zero"),
        ("raise ValueError\n", 1, "ValueError"),
        ("raise ValueError('one\\n  two')\n", 1, "ValueError: one two"),
        ("import no_such_module_of_ours\n", 1, "ModuleNotFoundError: No module named 'no_such_module_of_ours'"),
        ("from . import parts\n", 1, "import what lies beside the script without the dot"),
        ("import sys\nsys.exit(3)\n", 2, "the script ends itself with sys.exit(); a design must return its knife"),
        ("class Own(BaseException): ...\nraise Own('so')\n", 2, "Own: so"),
        ("raise GeneratorExit\n", 1, "GeneratorExit"),
    ],
)
def test_scripts_that_cannot_be_loaded(tmp_path: Path, text: str, line: int | None, message: str) -> None:
    path = script(tmp_path, text)
    with pytest.raises(ScriptError) as caught:
        load_script(path)
    assert (caught.value.path, caught.value.line) == (str(path), line)
    assert message in str(caught.value)
    assert str(caught.value).startswith(f"{path}: " if line is None else f"{path}, line {line}: ")


def test_files_that_are_no_scripts(tmp_path: Path) -> None:
    (tmp_path / "picture.py").write_bytes(b"\x89PNG\r\n\x1a\n\x00\x00")
    (tmp_path / "latin.py").write_bytes(b"x = '\xfc'\n")
    for name, message in (
        ("missing.py", "No such file or directory"),
        (".", "Is a directory"),
        ("picture.py", "is no Python"),
        ("latin.py", "is no Python as it stands"),
    ):
        with pytest.raises(ScriptError, match=message):
            load_script(tmp_path / name)


@pytest.mark.parametrize(
    ("body", "message"),
    [
        ("pass", "design() returned nothing; end it with 'return knife'"),
        ("return 5", "design() returned 5"),
        ("return KNIFE, KNIFE", "design() returned (Knife(...), Knife(...))"),
        ("raise RuntimeError('not today')", "RuntimeError: not today"),
        ("import sys; sys.exit()", "sys.exit()"),
        (
            "from bladegeom import Stock; Stock(steel='1.4117', thickness=3)",
            unknown("material", "1.4117", "1.4116"),
        ),
        ("from bladegeom import Stock; Stock(steel='1084', thickness=-3)", refusal("stock: thickness", "-3 mm")),
        ("import bladegeom.profiles as p; p.get('cheff')", unknown("profile", "cheff", "chef")),
        ("return working(blade_length=float('nan'))", "blade_length"),
        ("return working(blade_length=-110.0)", refusal("blade_length", "-110 mm")),
    ],
)
def test_designs_that_fail_name_the_makers_own_line(tmp_path: Path, body: str, message: str) -> None:
    with pytest.raises(ScriptError) as caught:
        design(tmp_path, "a=1", body).knife()
    told = str(caught.value)
    assert message in told
    assert caught.value.path == str(tmp_path / "k.py")
    lines = (tmp_path / "k.py").read_text().splitlines()
    assert caught.value.line is not None
    shown = lines[caught.value.line - 1]
    # The line that was at fault: in the design, or in the function that it called.
    assert body in shown or "blade_length=blade_length" in shown or shown.startswith("def design(")
    assert "Traceback" not in told
    assert "\n" not in told


def test_an_outline_that_crosses_itself(tmp_path: Path) -> None:
    text = """\
    from bladegeom import *
    def design():
        return Outline(
            edge=line((10, -25), (120, -25), (130, -10)),
            spine=line((130, -10), (60, -40), (0, 0)),
            handle_top=line((0, 0), (-100, 0)),
            butt=line((-100, 0), (-100, -25)),
            handle_underside=line((-100, -25), (0, -25)),
            choil=line((0, -25), (10, -25)))
    """
    # The spine's chords meet the line y = -25 at x = 130 - 70 / 2 = 95 and at x = 60 * 25 / 40 = 37.5.
    with pytest.raises(
        ScriptError, match=r"k\.py, line 3: the outline crosses itself near x (95|37)\.\d+, y -25\.00 mm"
    ):
        load_script(script(tmp_path, text)).knife()


def test_prints_of_a_script_go_to_stderr(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other_script = design(tmp_path, "a=1", "print('in design'); return KNIFE", before="print('on top')")
    other_script.knife()
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err == "on top\nin design\n"


def test_helpers_beside_the_script_are_found_and_their_lines_told(tmp_path: Path) -> None:
    script(tmp_path, "def fail():\n    raise KeyError('spine')\n", "parts.py")
    other_script = design(tmp_path, "a=1", "import parts; parts.fail()")
    with pytest.raises(ScriptError, match=r"parts\.py, line 2: KeyError: 'spine'"):
        other_script.knife()


def test_helpers_of_two_scripts_are_kept_apart(tmp_path: Path) -> None:
    designs = []
    for name in ("one", "two"):
        folder = tmp_path / name
        (folder / "pack").mkdir(parents=True)
        script(folder, f"NAME = 'from {name}'\n", "parts.py")
        script(folder, f"NAME = 'packed in {name}'\n", "pack/__init__.py")
        body = "import dataclasses, parts, pack; return dataclasses.replace(KNIFE, name=parts.NAME, revision=pack.NAME)"
        designs.append(design(folder, "a=1", body, before="import parts"))
    before, modules = list(sys.path), set(sys.modules)
    told = [(knife.name, knife.revision) for each_design in (*designs, *designs) for knife, _ in [each_design.knife()]]
    assert told == [("from one", "packed in one"), ("from two", "packed in two")] * 2
    assert sys.path == before
    assert set(sys.modules) == modules
    assert not {"parts", "pack", "bladegeom_script"} & set(sys.modules)


def test_helpers_are_loaded_once(tmp_path: Path) -> None:
    script(tmp_path, "class Mark: ...\n", "parts.py")
    body = "import parts; assert parts.Mark is Mark; return KNIFE"
    other_script = design(tmp_path, "a=1", body, before="from parts import Mark")
    other_script.knife()
    other_script.knife()


def test_the_library_itself_stays_loaded(tmp_path: Path) -> None:
    before = sys.modules["bladegeom.knife.knife"]
    knife, _ = design(tmp_path, "a=1", "from bladegeom.knife import knife; return KNIFE").knife()
    assert sys.modules["bladegeom.knife.knife"] is before
    assert isinstance(knife, Knife)


def test_a_script_beside_the_library_does_not_take_it_for_a_helper() -> None:
    home = Path(bladegeom.__file__ or "").parents[1]
    assert not _Folder(home / "k.py")._holds(bladegeom)
    # Any other package in that folder is one.
    other = types.ModuleType("pack")
    other.__path__ = [str(home / "pack")]
    assert _Folder(home / "k.py")._holds(other)


def test_a_script_may_hold_dataclasses(tmp_path: Path) -> None:
    before = (
        "from __future__ import annotations\nimport dataclasses\n@dataclasses.dataclass\nclass Order:\n    n: int = 2"
    )
    design(tmp_path, "a=1", before=before).knife()


PAIRS = list(itertools.product(names_of("blade"), names_of("handle")))


@pytest.mark.parametrize(("blade", "handle"), quick_rows(PAIRS, *PAIRS[:: len(names_of("handle")) + 1]))
def test_starter_of_every_pair_makes_a_knife_without_errors(blade: str, handle: str, tmp_path: Path) -> None:
    knife, _ = load_script(script(tmp_path, starter_script("my-own_knife", blade=blade, handle=handle))).knife()
    assert knife.name == "My own knife"
    found = [finding for finding in check(knife) if finding.severity != "note"]
    # A hidden tang's shoulders and a notch are filed: no contact wheel is as small as their inside radius.
    hidden = getattr(profiles.get(handle), "hidden", False)
    filed = 2 * hidden + issubclass(profiles.get(blade), NotchedBlade)
    assert [finding.code for finding in found] == ["inside-radius"] * filed
    assert (knife.scales is None) == hidden


OWN_PROFILE = """
from dataclasses import dataclass
from typing import ClassVar

from bladegeom.outline.starting_sizes import StartingSizes
from bladegeom.profiles.drop_point import DropPoint


@dataclass(frozen=True, kw_only=True)
class Thick(DropPoint):
    starting_sizes: ClassVar[StartingSizes] = StartingSizes(thickness=6.2, fasteners=3, drill="3/16")
"""


def test_a_starter_begins_as_the_file_of_its_blade_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "thick.py").write_text(OWN_PROFILE)
    monkeypatch.setattr(profiles, "__path__", [*profiles.__path__, str(tmp_path)])
    try:
        text = starter_script("own", blade="thick", handle="swelled")
    finally:
        sys.modules.pop("bladegeom.profiles.thick", None)
    assert "thickness: float = 6.2," in text
    assert 'diameter=inch("3/16")), count=3)' in text
    # What it leaves open is as for any other blade.
    assert "bevel_height: float = 17.0," in text


def test_starter_refuses_the_wrong_half() -> None:
    listed = unknown("blade profile", "straight") + "; there are: boning, "
    with pytest.raises(UnknownNameError, match=re.escape(listed)):
        starter_script("x", blade="straight", handle="straight")
    with pytest.raises(UnknownNameError, match=re.escape(unknown("handle profile", "petty"))):
        starter_script("x", blade="petty", handle="petty")


@pytest.mark.parametrize(
    ("body", "hint"),
    [
        ("from bladegeom import FlatBevel; FlatBevel(height=17, edge_thicknes=0.4)", "edge_thickness"),
        ("import bladegeom; bladegeom.Stock(steel='1084', thicknes=4)", "thickness"),
        ("from bladegeom.profiles.drop_point import DropPoint; DropPoint(bladelength=110)", "blade_length"),
        ("DropPiont()", "DropPoint"),
        ("FlatBevle(height=17)", "FlatBevel"),
        ("return working(blade_lenght=100.0)", "blade_length"),
        ("from bladegeom import Plnge", "Plunge"),
    ],
)
def test_slips_of_the_pen_suggest_what_was_meant(tmp_path: Path, body: str, hint: str) -> None:
    with pytest.raises(ScriptError, match=rf"[Dd]id you mean:? '{hint}'\?"):
        design(tmp_path, "a=1", body).knife()


@pytest.mark.parametrize(
    "body", ["zzz9()", "int(qqq=1)", "(lambda x: x)(qqq=1)", "import bladegeom as b; b.mm(nothing_like=1)"]
)
def test_slips_like_nothing_known_suggest_nothing(tmp_path: Path, body: str) -> None:
    with pytest.raises(ScriptError) as caught:
        design(tmp_path, "a=1", body).knife()
    assert "did you mean" not in str(caught.value).lower()


@pytest.mark.parametrize(
    ("error", "message"),
    [
        (ParameterError("wheel", "17 mm", "be larger"), refusal("wheel", "17 mm")),
        (TypeError("no\n number"), "TypeError: no number; something in design() may be declared wrongly, BLADEGEOM_"),
    ],
)
def test_what_goes_wrong_after_the_design_names_it(tmp_path: Path, error: Exception, message: str) -> None:
    other_script = load_script(script(tmp_path, "\n\ndef design(): ...\n"))
    with pytest.raises(ScriptError) as caught, other_script.named():
        raise error
    assert str(caught.value).startswith(f"{tmp_path / 'k.py'}, line 3: {message}")
    assert caught.value.__cause__ is error


@pytest.mark.parametrize("error", [ExportError("no"), UnknownNameError("paper", "A44", ["A4"]), BrokenPipeError()])
def test_errors_about_files_and_the_command_line_stay(tmp_path: Path, error: Exception) -> None:
    other_script = load_script(script(tmp_path, "def design(): ...\n"))
    with pytest.raises(type(error)) as caught, other_script.named():
        raise error
    assert caught.value is error


@pytest.mark.parametrize(
    ("body", "facts"),
    [
        ("Stock('1084', 4)", ("Stock(...)", 'Stock(steel="1.4116", thickness=3.5)')),
        ("Stock(steel='1084')", ("Stock(...)", "'thickness'")),
        ("DropPoint(110)", ("DropPoint(...)", "DropPoint(blade_length=...)")),
        ("from bladegeom import Plnge", ("bladegeom", "'Plnge'")),
    ],
)
def test_a_call_that_the_library_refuses_is_told_without_words_of_python(
    tmp_path: Path, body: str, facts: tuple[str, ...]
) -> None:
    head = "from bladegeom import Stock; from bladegeom.profiles.drop_point import DropPoint; "
    with pytest.raises(ScriptError) as caught:
        design(tmp_path, "a=1", head + body).knife()
    assert_tells(str(caught.value), *facts)
    for jargon in ("__init__", "positional", "keyword", "TypeError", "ImportError", "__init__.py"):
        assert jargon not in str(caught.value)


def test_a_device_named_by_mistake_is_not_read_to_its_end() -> None:
    with pytest.raises(ScriptError, match="a device"):
        load_script(Path("/dev/zero"))

"""The command line as a maker uses it: commands, exit codes, refusals, and messages in one clear sentence."""

from __future__ import annotations

import hashlib
import json
import os
import shlex
import subprocess
import sys
from pathlib import Path
from textwrap import dedent

import ezdxf
import pypdfium2
import pytest
from draws import quick
from refusals import refusal, unknown

from bladegeom.cli import main
from bladegeom.commands.report import SECTION_NAMES
from bladegeom.commands.starter import starter_script

RUN = [sys.executable, "-c", "import sys; from bladegeom.cli import main; sys.exit(main())"]

BROKEN_RULE = """\
import dataclasses
from bladegeom import Hole

def design(x: float = -60.0) -> Knife:
    return dataclasses.replace(working(), holes=(Hole(x=x, y=4.0, diameter=5.0, purpose="lightening"),))
"""
"""A hole that breaks through the upper border of the steel."""

PLAIN = """\
from bladegeom import FlatBevel, Grind, Knife, Plunge, Stock, join_halves
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled

def design(blade_length: float = 110.0) -> Knife:
    outline = join_halves(DropPoint(blade_length=blade_length), Swelled())
    grind = Grind(bevel=FlatBevel(height=18.0, edge_thickness=0.4), plunge=Plunge(x=outline.heel[0]))
    return Knife(name="Plain", outline=outline, stock=Stock(steel="1.4116", thickness=3.5), grind=grind)
"""
"""Steel alone: the quickest knife to export."""

bare_or_whole = pytest.mark.parametrize("name", quick(["plain_bad", "bad"], "plain_bad"))
"""A design with an error: steel alone, or with scales and fasteners, whose export takes three times as long."""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "good.py").write_text(starter_script("good", blade="drop_point", handle="swelled"))
    working = starter_script("bad", blade="drop_point", handle="swelled").replace("def design(", "def working(")
    (tmp_path / "bad.py").write_text(working + BROKEN_RULE)
    (tmp_path / "plain.py").write_text(PLAIN)
    (tmp_path / "plain_bad.py").write_text(PLAIN.replace("def design(", "def working(") + BROKEN_RULE)
    return tmp_path


def run(*arguments: str, folder: Path, **more: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*RUN, *arguments],
        cwd=folder,
        env={**os.environ, **more},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


def files(folder: Path) -> dict[str, str]:
    """Names of files by what they are."""
    return {"_".join(path.stem.split("_")[2:3]) + path.suffix: path.name for path in sorted(folder.iterdir())}


def test_help_needs_no_geometry(folder: Path) -> None:
    code = (
        "import sys\nfrom bladegeom.cli import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit as stop:\n    assert stop.code == 0\n"
        "heavy = {'numpy', 'scipy', 'shapely', 'ezdxf', 'svgwrite', 'reportlab', 'jinja2'} & set(sys.modules)\n"
        "sys.exit(f'imported {heavy}' if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    for command in ("new", "check", "report", "export", "profiles"):
        assert f"\n    {command} " in done.stdout


def test_from_new_script_to_files(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    done = run("new", "rigging_knife", folder=folder)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == "rigging_knife.py written; now try: bladegeom check rigging_knife.py\n"
    assert main(["check", "rigging_knife.py"]) == 0
    told = capsys.readouterr()
    assert told.err == ""
    assert told.out.splitlines()[-1].startswith("0 errors, ")
    assert main(["export", "rigging_knife.py", "blade_length=4-1/2 in"]) == 0
    told = capsys.readouterr()
    assert told.err == ""
    assert "cut file of the steel read back: 1 closed outline of " in told.out
    assert "not in the cut file, left for the drill: F1, F2" in told.out
    out = folder / "rigging_knife"
    assert files(out) == {
        # 4.5 in of blade are 114.3 mm, the handle is 118 mm long.
        "cut.dxf": "rigging-knife_rev-A_cut_steel_232.3x31.1mm_9.15x1.22in.dxf",
        "cut.pdf": "rigging-knife_rev-A_cut_steel_232.3x31.1mm_9.15x1.22in_pass_A4.pdf",
        "book.pdf": "rigging-knife_rev-A_book_A4.pdf",
        "proof.html": "rigging-knife_rev-A_proof.html",
        "report.json": "rigging-knife_rev-A_report.json",
        "report.txt": "rigging-knife_rev-A_report.txt",
        "template.svg": "rigging-knife_rev-A_template_A4.svg",
    }
    assert len(list(out.iterdir())) == 7
    content = json.loads((out / "rigging-knife_rev-A_report.json").read_text())
    assert content["parameters"]["blade_length"] == pytest.approx(114.3)
    assert {row["path"] for row in content["files"]} == {p.name for p in out.iterdir() if "_report" not in p.name}
    for row in content["files"]:
        assert row["sha256"] == hashlib.sha256((out / row["path"]).read_bytes()).hexdigest()
        assert row["kind"] == row["path"].rpartition(".")[2]


@pytest.mark.usefixtures("folder")
def test_report_as_text_and_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", "plain.py"]) == 0
    capsys.readouterr()
    assert main(["report", "plain.py", "--json", "--geometry"]) == 0
    told = capsys.readouterr()
    assert told.err == ""
    content = json.loads(told.out)
    assert content["format"] == "bladegeom-report"
    assert len(content["geometry"]["outline"]) > 100


def test_prints_of_the_script_do_not_spoil_json(folder: Path) -> None:
    text = PLAIN.replace("    outline = ", "    print('thinking')\n    outline = ")
    (folder / "loud.py").write_text("print('hello')\n" + text)
    done = run("report", "loud.py", "--json", folder=folder)
    assert json.loads(done.stdout)["name"] == "Plain"
    assert done.stderr == "hello\nthinking\n"


def test_names_in_other_scripts_reach_any_terminal(folder: Path) -> None:
    text = PLAIN.replace('name="Plain"', 'name="\u5305\u4e01 K\u00fcche"')
    (folder / "plain.py").write_text(text, encoding="utf-8")
    for command in (["report", "plain.py", "--json"], ["report", "plain.py"], ["export", "plain.py", "--paper", "A4"]):
        done = run(*command, folder=folder, PYTHONIOENCODING="ascii", PYTHONUTF8="0")
        assert ("letter-missing" in done.stdout + done.stderr) != (command[0] == "export" and "U+5305" in done.stderr)


def test_profiles(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["profiles"]) == 0
    listed = capsys.readouterr().out
    assert listed.index("blade profiles") < listed.index("drop_point") < listed.index("handle profiles")
    assert listed.index("handle profiles") < listed.index("birds_head")
    assert main(["profiles", "drop point"]) == 0
    told = capsys.readouterr().out
    assert "from bladegeom.profiles.drop_point import DropPoint" in told
    assert "blade_length" in told


@pytest.mark.parametrize(
    ("arguments", "lines"),
    [
        (["report", "plain.py", "--json", "--geometry"], 1),  # more than a pipe holds: stopped while writing
        (["check", "plain.py"], 0),  # less: noticed only at the end
    ],
)
def test_a_closed_pipe_is_no_error(arguments: list[str], lines: int, folder: Path) -> None:
    buffered = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
    with subprocess.Popen([*RUN, *arguments], cwd=folder, env=buffered, stdout=-1, stderr=-1) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        for _ in range(lines):
            process.stdout.readline()
        process.stdout.close()
        assert process.stderr.read() == b""
    assert process.returncode == 0


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_an_output_that_cannot_be_written_is_told_in_one_line(unbuffered: str, folder: Path) -> None:
    environment = os.environ | {"PYTHONUNBUFFERED": unbuffered}
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [*RUN, "check", "plain.py"], cwd=folder, env=environment, stdout=full, stderr=-1, text=True, check=False
        )
    assert done.returncode == 2
    assert done.stderr.startswith("bladegeom: what the command says cannot be written (")
    assert done.stderr.count("\n") == 1


@pytest.mark.skipif(os.name == "nt", reason="a shell of Unix closes the streams")
def test_streams_that_a_shell_has_closed_are_no_reason_to_stop(folder: Path) -> None:
    for arguments, closed, status in ((["check", "plain.py"], ">&-", 0), (["check", "none.py"], ">&- 2>&-", 2)):
        told = subprocess.run(
            f"{shlex.join([*RUN, *arguments])} {closed}", cwd=folder, shell=True, capture_output=True, check=False
        )
        assert (told.returncode, told.stdout, told.stderr) == (status, b"", b"")


@pytest.mark.usefixtures("folder")
def test_check_tells_errors_and_exits_1(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "bad.py"]) == 1
    first, *_, last = capsys.readouterr().out.splitlines()
    assert first.startswith("error [")
    assert "(source: " in first
    assert not last.startswith("0 errors")


@bare_or_whole
def test_a_cut_file_is_refused_while_an_error_stands(
    name: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["export", f"{name}.py", "--paper", "A4"]) == 1
    told = capsys.readouterr().out
    assert "error [hole-outside] hole L1" in told
    assert "cut file refused: mend the design, or take the risk with --allow hole-outside" in told
    out = folder / name
    assert set(files(out)) == {"book.pdf", "template.svg", "proof.html", "report.json", "report.txt"}
    assert json.loads((out / files(out)["report.json"]).read_text())["overridden"] == []
    for file in files(out).values():
        if "proof" in file:
            assert "NOT RELEASED, errors stand: hole-outside." in shown(out / file)[0]
        elif "report" not in file:
            words = "NOT RELEASED, errors stand: hole-outside. See the report."
            assert all(words in page for page in shown(out / file)), file


@bare_or_whole
def test_an_override_writes_the_cut_file_and_is_printed_on_every_sheet(
    name: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["export", f"{name}.py", "--paper", "A4", "--allow", "hole-outside"]) == 0
    assert "refused" not in capsys.readouterr().out
    out = folder / name
    (cut,) = out.glob("*.dxf")
    kinds = sorted(e.dxftype() for e in ezdxf.readfile(cut).modelspace())
    assert kinds == ["CIRCLE", "LWPOLYLINE"]
    sheets = [*out.glob("*.svg"), *out.glob("*.pdf")]
    assert len(sheets) == 3
    for sheet in sheets:
        for page in shown(sheet):
            assert "Released with hole-outside allowed by the maker." in page
            assert "OVERRIDDEN by the maker: hole-outside: hole L1" in page
            assert "NOT RELEASED" not in page
    assert "error OVERRIDDEN [hole-outside]" in (out / files(out)["report.txt"]).read_text()
    assert json.loads((out / files(out)["report.json"]).read_text())["overridden"] == ["hole-outside"]


def shown(path: Path) -> list[str]:
    """The words of each page."""
    if path.suffix in (".svg", ".html"):
        return [path.read_text(encoding="utf-8")]
    return [" ".join(page.get_textpage().get_text_range().split()) for page in pypdfium2.PdfDocument(path)]


def test_an_override_must_match_an_error(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", "bad.py", "--allow", "hole-outsid"]) == 2
    assert unknown("error of this design", "hole-outsid", "hole-outside") in capsys.readouterr().err
    assert main(["export", "good.py", "--allow", "rim"]) == 2
    assert "--allow rim: this design has no error to allow; leave it out" in capsys.readouterr().err
    assert not (folder / "bad").exists()
    assert not (folder / "good").exists()


def test_files_of_an_earlier_export_are_named(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    allow = ["--allow", "hole-outside", "--dxf", "R12"]
    assert main(["export", "plain_bad.py", "--paper", "A4", *allow, "--out", "out"]) == 0
    told = capsys.readouterr()
    # The writer's library warns on the terminal that R12 holds no units: we say so ourselves.
    assert not told.err
    assert "R12 holds no unit, tell the shop that 1 unit is 1 mm" in told.out
    (cut,) = (folder / "out").glob("*_cut_steel_*_R12.dxf")
    assert ezdxf.readfile(cut).dxfversion == "AC1009"
    assert main(["export", "plain_bad.py", "--paper", "A4", "--out", "out"]) == 1
    lines = [line for line in capsys.readouterr().out.splitlines() if line.startswith("left from an earlier export")]
    left = {path.name for path in (folder / "out").glob("*_cut_*")}
    assert len(left) == 2
    assert {line.rpartition("/")[2] for line in lines} == left


@pytest.mark.parametrize("name", quick(["plain", "good"], "plain"))
def test_export_twice_gives_the_same_bytes(name: str, folder: Path) -> None:
    command = ["export", f"{name}.py", "--paper", "A4", "--out"]
    assert main([*command, "one"]) == 0
    assert run(*command, "two", folder=folder, PYTHONHASHSEED="7").returncode == 0
    one, two = ({p.name: p.read_bytes() for p in (folder / name).iterdir()} for name in ("one", "two"))
    assert one == two


@pytest.mark.parametrize(
    ("arguments", "papers"),
    [
        ([], {"A4"}),
        (["--setting", "paper=letter"], {"Letter"}),
        (["--paper", "a3"], {"A3"}),
        pytest.param(["--paper", "A4", "--paper", "letter"], {"A4", "Letter"}, marks=pytest.mark.long),
        pytest.param(["blade_length=225"], {"A4", "A3"}, marks=pytest.mark.long),
        pytest.param(["blade_length=225", "--paper", "Letter"], {"Letter", "Tabloid"}, marks=pytest.mark.long),
    ],
)
def test_papers(arguments: list[str], papers: set[str], folder: Path) -> None:
    # 225 mm of blade and 118 mm of handle are more than the diagonal of A4's and of Letter's printable area.
    assert main(["export", "plain.py", *arguments, "--only", "template", "--out", "out"]) == 0
    assert {path.stem.rpartition("_")[2] for path in (folder / "out").glob("*_template_*.pdf")} == papers


@pytest.mark.usefixtures("folder")
def test_parameters_may_stand_behind_options(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", "good.py", "handle_length=110", "--json", "blade_length=120"]) == 0
    assert json.loads(capsys.readouterr().out)["outline"]["length"] == pytest.approx(230.0)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["check", "missing.py"], "missing.py: the script cannot be read (No such file or directory)"),
        (["check", "."], ".: the script cannot be read (Is a directory)"),
        (["check", "good.py", "blade_lenght=120"], unknown("parameter", "blade_lenght", "blade_length")),
        (["check", "good.py", "blade_length=nan"], refusal("blade_length", "'nan'")),
        (["check", "good.py", "blade_length=-120"], "good.py, line "),
        (["check", "good.py", "steel=1.4117"], unknown("material", "1.4117", "1.4116")),
        (["report", "good.py", "--json", "blade_length=0"], refusal("blade_length", "0 mm")),
        (["export", "good.py", "--paper", "A44"], unknown("paper", "A44", "A4")),
        (
            ["export", "good.py", "--paper", "A5", "--only", "template"],
            "12 pages of A5 do not hold it with seams that keep clear of holes",
        ),
        (
            ["export", "plain.py", "--paper", "A4", "--out", "bad.py"],
            "cannot write to bad.py: there is a file of that name",
        ),
        (["export", "plain.py", "--paper", "A4", "--out", "bad.py/x"], "cannot write to bad.py/x: Not a directory"),
        (["new", "good"], "good.py exists already and is left as it is; choose another name"),
        (["new", "x", "--blade", "chief"], unknown("profile", "chief", "chef")),
        (
            ["new", "x", "--blade", "swelled"],
            unknown("blade profile", "swelled") + "; there are: boning, broken_back, chef",
        ),
        (["new", "."], "'.' is a folder; name the script to write, for example knife.py"),
        (["new", 'a"b'], "makes a poor file name; choose one without quotes and backslashes"),
        (["new", "good.py/x"], "cannot write to good.py: there is a file of that name"),
        (["profiles", "chief"], unknown("profile", "chief", "chef")),
        (["solid", "plain.py", "--tolerance", "2"], refusal("mesh: tolerance", "2 mm")),
        (["solid", "plain.py", "--tolerance", "fine"], refusal("--tolerance", "'fine'")),
        (["solid", "plain.py", "--out", "bad.py"], "cannot write to bad.py: there is a file of that name"),
        (["mockup", "plain.py", "--least", "5"], refusal("printing: least", "5.00 mm")),
        (["mockup", "plain.py", "--bed", "220"], refusal("printing: bed", "'220'")),
        (["mockup", "plain.py", "--plastic", "PLAY"], unknown("material", "PLAY", "PLA")),
    ],
)
def test_mistakes_are_told_in_one_line_and_exit_2(
    arguments: list[str], message: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = sorted(folder.iterdir())
    assert main(arguments) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert message in told.err
    assert told.err.startswith("bladegeom: ")
    assert told.err.count("\n") == 1
    assert sorted(folder.iterdir()) == before


def test_solids_of_a_stage_in_several_formats(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    formats = [part for name in ("3mf", "stl", "glb") for part in ("--format", name)]
    assert main(["solid", "good.py", *formats, "--stage", "blank", "--out", "solids", "blade_length=120"]) == 0
    assert {path.name for path in (folder / "solids").iterdir()} == {
        f"good_rev-A_blank.{end}" for end in ("3mf", "stl", "glb")
    }
    told = capsys.readouterr().out
    assert "blade: 1.4116" in told
    assert main(["solid", "good.py", "--format", "stl"]) == 0
    parts = {path.stem.rpartition("_")[2] for path in (folder / "good").iterdir()}
    assert {"blade", "right-scale", "left-scale"} < parts


def test_a_mock_up_of_the_handle(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["mockup", "good.py", "--handle", "--bed", "small", "--fill", "40%", "--format", "3mf"]) == 0
    assert [path.name for path in (folder / "good").iterdir()] == ["good_rev-A_handle_mockup.3mf"]
    assert "40 % filled between them" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "begins"),
    [
        (("mockup", "good.py", "--bed", "50 x 50"), "bladegeom: printing: bed is 50.00 x 50.00 mm"),
        (("mockup", "good.py", "--bed", "250"), "bladegeom: printing: bed is '250'"),
        (("solid", "good.py", "--tolerance", "5"), "bladegeom: mesh: tolerance is 5 mm"),
    ],
)
def test_what_an_option_asks_too_much_of_is_not_laid_on_the_script(
    folder: Path, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], begins: str
) -> None:
    before = sorted(folder.iterdir())
    assert main(arguments) == 2
    assert capsys.readouterr().err.startswith(begins)
    assert sorted(folder.iterdir()) == before


@pytest.mark.usefixtures("folder")
@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ([], "the following arguments are required: COMMAND"),
        (["grind", "good.py"], "invalid choice: 'grind'"),
        (["bok", "good.py"], "'settings'); did you mean book?"),
        (["card", "good.py"], "'settings'); did you mean book?"),
        (["check"], "the following arguments are required: SCRIPT"),
        (["export", "good.py", "--papr", "A4"], "unrecognized arguments: --papr A4; did you mean --paper?"),
        (["turn", "good.py", "--costumer"], "unrecognized arguments: --costumer; did you mean --customer?"),
        (["profiles", "chef", "a=1"], "unrecognized arguments: a=1"),
        (["check", "good.py", "--json"], "usage: bladegeom check "),
        (["new", ""], "argument SCRIPT: it must not be empty"),
        (["export", "good.py", "--out", ""], "argument --out: it must not be empty"),
        (["report", "good.py", "--geometry"], "--geometry goes with --json"),
        (["solid", "good.py", "--format", "obj"], "invalid choice: 'obj'"),
        (["mockup", "good.py", "--fill", "3"], "'3' must be from 5 to 100 per cent"),
    ],
)
def test_bad_usage_exits_2(arguments: list[str], message: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stop:
        main(arguments)
    assert stop.value.code == 2
    assert message in capsys.readouterr().err


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("def design():\n    depth = 1 / 0\n", "k.py, line 2: ZeroDivisionError: division by zero"),
        ("def design():\n    return None\n", "k.py, line 1: design() returned nothing; end it with 'return knife'"),
        ("x = 1\n", "k.py: the script defines no design()"),
        ("def design(:\n", "k.py, line 1: it is no Python as it stands: invalid syntax"),
        ("import sys\nsys.exit(0)\n", "k.py, line 2: the script ends itself with sys.exit()"),
        (
            """\
            from bladegeom import *
            def design():
                front, low = (0, 0), -25
                edge = line((10, low), (120, low), (130, -10))
                return Outline(edge=edge, spine=line((130, -10), (60, -40), front), handle_top=line(front, (-99, 0)),
                    butt=line((-99, 0), (-99, low)), handle_underside=line((-99, low), (0, low)),
                    choil=line((0, low), (10, low)))
            """,
            "k.py, line 5: the outline crosses itself near x ",
        ),
    ],
)
def test_scripts_that_fail_exit_2_without_a_traceback(
    text: str, message: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "k.py").write_text(dedent(text))
    assert main(["check", "k.py"]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith(f"bladegeom: {message}")
    assert told.err.count("\n") == 1


def test_a_script_without_a_suffix_has_a_folder_of_its_own(folder: Path) -> None:
    (folder / "plain.py").rename(folder / "plain")
    assert main(["export", "plain", "--paper", "A4"]) == 0
    assert set(files(folder / "plain_export")) >= {"cut.dxf", "book.pdf", "report.json"}


def test_a_new_script_makes_its_folder(folder: Path) -> None:
    assert main(["new", "orders/galley knife.py", "--blade", "chef", "--handle", "straight"]) == 0
    text = (folder / "orders" / "galley knife.py").read_text()
    assert 'name="Galley knife"' in text
    assert "bladegeom check 'galley knife.py'" in text
    assert main(["check", "orders/galley knife.py"]) == 0


@pytest.mark.parametrize("command", quick(["check", "report", "export"], "check"))
def test_what_goes_wrong_after_the_design_names_script_and_line(command: str, folder: Path) -> None:
    text = (folder / "good.py").read_text().replace("Plunge(x=outline.heel[0]", "Plunge(x=300")
    (folder / "far.py").write_text(text)
    place = f"far.py, line {text.splitlines().index('def design(') + 1}: "
    # The fasteners are placed by the design itself; the plunge line is looked at later.
    done = run(command, "far.py", folder=folder)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(f"bladegeom: {place}{refusal('plunge line: x', '300 mm')}; ")
    done = run(command, "far.py", folder=folder, BLADEGEOM_TRACEBACK="1")
    assert done.returncode == 2
    assert done.stderr.startswith("Traceback")
    assert "plunge_line" in done.stderr


@pytest.mark.usefixtures("folder")
def test_the_report_is_one_screen_and_more_by_section(capsys: pytest.CaptureFixture[str]) -> None:
    def told(*arguments: str) -> str:
        assert main(["report", "good.py", *arguments]) == 0
        return capsys.readouterr().out

    first = told()
    assert len(first.splitlines()) <= 24
    whole = told("--all")
    assert "what moves the balance, strongest first" in whole
    # As many sections as are asked for, in that order, with parameters anywhere between them.
    some = told("holes", "blade_length=120", "lengths")
    assert some.index("holes; x and y") < some.index("overall length") < some.index("Check before cutting: ")
    assert "blade length       120.00 mm" in some
    assert "what moves the balance" not in first + some
    # An option between them stands in nobody's way.
    split = told("holes", "blade_length=120", "--setting", "units=mm", "lengths")
    assert split == some


@pytest.mark.parametrize("more", ["--all", "--json"])
@pytest.mark.usefixtures("folder")
def test_a_section_goes_with_none_of_the_wholes(more: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["report", "good.py", "bevel", more])
    assert stop.value.code == 2
    assert f"{more} tells every section" in capsys.readouterr().err


@pytest.mark.usefixtures("folder")
def test_a_word_that_is_no_section_is_told_before_the_script_runs(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", "missing.py", "bevle"]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    for name in SECTION_NAMES:
        assert name in told.err
    assert "NAME=VALUE" in told.err

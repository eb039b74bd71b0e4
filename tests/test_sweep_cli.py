"""The command sweep: values and ranges, the table, going on after a stop, refusals, exit codes."""

from __future__ import annotations

import csv
import inspect
import io
import os
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from refusals import refusal, unknown

from bladegeom.cli import main
from bladegeom.cli.grid import read_grid
from bladegeom.cli.progress import Progress
from bladegeom.commands import script_design
from bladegeom.quantities.errors import BladegeomError
from bladegeom.quantities.file_errors import ExportError
from bladegeom.studies.variant import Outcome, Row
from bladegeom.writers.exchange import locked
from bladegeom.writers.sweep_csv import SweepTable

RUN = [sys.executable, "-c", "import sys; from bladegeom.cli import main; sys.exit(main())"]

SCRIPT = """\
import os, time
from bladegeom import FlatBevel, Grind, Knife, Plunge, Stock, join_halves
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled
import parts

def design(blade_length: float = 110.0, thickness: float = 4.0, steel: str = "1.4116", wait_s: float = 0.0) -> Knife:
    with open("ran.txt", "a") as log:
        log.write(f"{blade_length:g} {thickness:g}\\n")
    time.sleep(wait_s)
    if thickness > 90:
        os._exit(3)
    1 / (thickness - parts.FORBIDDEN)
    outline = join_halves(DropPoint(blade_length=blade_length), Swelled())
    return Knife(
        name="K", outline=outline, stock=Stock(steel=steel, thickness=thickness),
        grind=Grind(bevel=FlatBevel(height=17.0, edge_thickness=0.4), plunge=Plunge(x=outline.heel[0])))
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "k.py").write_text(SCRIPT)
    (tmp_path / "parts.py").write_text("FORBIDDEN = 7.0\n")
    return tmp_path


@pytest.fixture
def no_processes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Variants run in a thread of this process, for tests about anything else than processes: that is quicker."""
    monkeypatch.setattr("bladegeom.commands.sweep.processes", ThreadPoolExecutor)
    script_design._read.cache_clear()


def ran(folder: Path) -> int:
    """How many variants were made."""
    log = folder / "ran.txt"
    return len(log.read_text().splitlines()) if log.exists() else 0


def table(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_the_table(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code = main(["sweep", "k.py", "blade_length=100:120:10", "thickness=4,7,5/32 in", "--jobs", "2"])
    told = capsys.readouterr()
    rows = table(told.out)
    assert code == 1
    assert told.err == (
        "9 variants, 0 with errors in their findings, 3 failed; "
        "the first: blade_length = 100.0, thickness = 7.0: k.py, line 13: ZeroDivisionError: float division by zero\n"
    )
    assert [(row["blade_length"], row["thickness"]) for row in rows] == [
        (length, thickness) for length in ("100.0", "110.0", "120.0") for thickness in ("4.0", "7.0", "3.96875")
    ]
    assert [row["failure (message)"] for row in rows[:3]] == [
        "",
        "k.py, line 13: ZeroDivisionError: float division by zero",
        "",
    ]
    assert rows[1]["mass (g)"] == rows[1]["errors (count)"] == ""
    # A stock of 5/32 in is 3.96875 mm; a longer blade weighs more.
    masses = [float(row["mass (g)"]) for row in rows if row["mass (g)"]]
    assert masses[1] < masses[0] < masses[2] < masses[4]
    assert {row["design (state)"] for row in rows} == {rows[0]["design (state)"]}
    assert ran(folder) == 9


@pytest.mark.usefixtures("no_processes")
def test_a_finished_table_is_not_made_again(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    command = ["sweep", "k.py", "blade_length=100,110", "--out", "s/k.csv", "--jobs", "1"]
    assert main(command) == 0
    assert capsys.readouterr().out == "s/k.csv: 2 variants, 0 with errors in their findings, 0 failed\n"
    first = (folder / "s/k.csv").read_bytes()
    assert main(command) == 0
    assert capsys.readouterr().out == "s/k.csv: 2 variants, 0 with errors in their findings, 0 failed\n"
    assert (folder / "s/k.csv").read_bytes() == first
    assert [path.name for path in (folder / "s").iterdir()] == ["k.csv"]
    assert ran(folder) == 2


@pytest.mark.usefixtures("no_processes")
@pytest.mark.parametrize("cut", [1, 3, 60, -5])
def test_a_sweep_goes_on_from_the_last_whole_row(cut: int, folder: Path) -> None:
    """Whatever was cut off in the writing, the whole comes out as if it had not been."""
    command = ["sweep", "k.py", "thickness=3,7,4", "--out", "k.csv", "--jobs", "1"]
    assert main(command) == 1
    whole = (folder / "k.csv").read_bytes()
    rows = whole.splitlines(keepends=True)
    # In the heading, after it, in the first row, in the last.
    part = whole[:cut] if cut != 3 else rows[0]
    (folder / "k.csv").unlink()
    (folder / "k.csv.part").write_bytes(part)
    before = ran(folder)
    assert main(command) == 1
    assert (folder / "k.csv").read_bytes() == whole
    assert not (folder / "k.csv.part").exists()
    assert ran(folder) - before == 4 - max(1, len(part.splitlines(keepends=True)) - (not part.endswith(b"\n")))


@pytest.mark.usefixtures("no_processes")
def test_what_a_crash_left_behind_the_last_row_is_cut_off(folder: Path) -> None:
    """A power cut may leave zeros; they are longer than all that is still to be written."""
    command = ["sweep", "k.py", "thickness=3,4", "--out", "k.csv", "--jobs", "1"]
    assert main(command) == 0
    whole = (folder / "k.csv").read_bytes()
    (folder / "k.csv").unlink()
    (folder / "k.csv.part").write_bytes(b"".join(whole.splitlines(keepends=True)[:2]) + bytes(2000))
    assert main(command) == 0
    assert (folder / "k.csv").read_bytes() == whole


@pytest.mark.usefixtures("no_processes")
def test_more_values_of_the_first_parameter_go_on_from_a_finished_table(folder: Path) -> None:
    assert main(["sweep", "k.py", "blade_length=100:110:10", "--out", "k.csv", "--jobs", "1"]) == 0
    old = (folder / "k.csv").read_bytes()
    assert main(["sweep", "k.py", "blade_length=100:130:10", "--out", "k.csv", "--jobs", "1"]) == 0
    assert (folder / "k.csv").read_bytes().startswith(old)
    assert ran(folder) == 4


@pytest.mark.usefixtures("no_processes")
@pytest.mark.parametrize(
    ("change", "message"),
    [
        ("blade_length=100,120", "in row 2, blade_length is 110.0, not 120.0"),
        ("blade_length=100", "it goes on after the 1 variants of this one"),
        ("thickness=3,4", "its columns are blade_length,mass (g)"),
        ("script", "row 1 was made when script or program were in another state"),
        ("helper", "row 1 was made when script or program were in another state"),
        ("torn", "row 1 has 2 cells, not 14"),
        ("number", "row 1 cannot be read, could not convert string to float: 'x'"),
        ("by hand", "row 1 has been changed since it was written"),
    ],
)
def test_another_sweep_is_left_alone(
    change: str, message: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    command = ["sweep", "k.py", "blade_length=100,110", "--out", "k.csv", "--jobs", "1"]
    assert main(command) == 0
    if change == "script":
        (folder / "k.py").write_text(SCRIPT.replace("height=17.0", "height=16.0"))
    elif change == "helper":
        (folder / "parts.py").write_text("FORBIDDEN = 8.0\n")
    elif change in ("torn", "number", "by hand"):
        head, one, two = (folder / "k.csv").read_text().splitlines()
        cells = one.split(",")
        mass = "x" if change == "number" else "1.0000"
        one = "100.0,1" if change == "torn" else ",".join([cells[0], mass, *cells[2:]])
        (folder / "k.csv").write_text(f"{head}\n{one}\n{two}\n")
    else:
        command[2] = change
    before, made = (folder / "k.csv").read_bytes(), ran(folder)
    capsys.readouterr()
    assert main(command) == 2
    told = capsys.readouterr().err
    assert told.startswith(f"bladegeom: k.csv holds another sweep: {message}")
    assert told.endswith("; name another file, or delete this one to begin anew\n")
    assert told.count("\n") == 1
    assert ((folder / "k.csv").read_bytes(), ran(folder)) == (before, made)
    assert not (folder / "k.csv.part").exists()


@pytest.mark.usefixtures("no_processes")
def test_a_part_that_another_sweep_writes_to_is_not_even_read(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What is read before it is this program's alone may be gone, or longer, when rows are added to it."""
    with (folder / "k.csv.part").open("wb") as part:
        part.write(b"half a head")
        part.flush()
        assert locked(part.fileno())
        assert main(["sweep", "k.py", "thickness=3,4", "--out", "k.csv", "--jobs", "1"]) == 2
    assert "another sweep is writing to k.csv.part: wait until it is done" in capsys.readouterr().err
    assert (folder / "k.csv.part").read_bytes() == b"half a head"


def start(folder: Path, *arguments: str) -> subprocess.Popen[str]:
    """In a group of its own, so that Ctrl-C reaches it and its workers as on a terminal."""
    return subprocess.Popen(
        [*RUN, "sweep", "k.py", *arguments], cwd=folder, stdout=-1, stderr=-1, text=True, start_new_session=True
    )


@pytest.mark.skipif(os.name != "posix", reason="signals of a terminal")
@pytest.mark.parametrize("everybody", [True, pytest.param(False, marks=pytest.mark.long)], ids=["terminal", "parent"])
def test_ctrl_c_keeps_what_is_done(everybody: bool, folder: Path) -> None:  # noqa: FBT001
    arguments = ["blade_length=100:140:1", "wait_s=0.4", "--out", "k.csv", "--jobs", "2"]
    with start(folder, *arguments) as process:
        part = folder / "k.csv.part"
        limit = time.monotonic() + 30
        while time.monotonic() < limit and not (part.exists() and part.read_bytes().count(b"\n") > 4):
            time.sleep(0.02)
        (os.killpg if everybody else os.kill)(process.pid, signal.SIGINT)
        out, err = process.communicate(timeout=30)
    done = part.read_bytes().count(b"\n") - 1
    assert 4 <= done < 41
    assert (process.returncode, out) == (130, "")
    assert err == f"bladegeom: stopped after {done} of 41 variants; the same command goes on from k.csv.part\n"
    assert not (folder / "k.csv").exists()
    assert len(table(part.read_text())) == done


def test_a_worker_that_dies_is_told_and_what_is_done_stays(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sweep", "k.py", "thickness=3,4,99,5", "--out", "k.csv", "--jobs", "1"]) == 2
    told = capsys.readouterr().err
    assert told.startswith("bladegeom: k.py: a worker process came to an end by itself: out of memory, or ended by")
    assert told.endswith("in one of the variants from number 3 on\n")
    assert [row["thickness"] for row in table((folder / "k.csv.part").read_text())] == ["3.0", "4.0"]


def test_prints_of_the_script_stay_out_of_the_table(folder: Path) -> None:
    (folder / "k.py").write_text(SCRIPT.replace("    time.sleep", "    print('thinking')\n    time.sleep"))
    with start(folder, "thickness=3,4") as process:
        out, err = process.communicate(timeout=60)
    assert len(table(out)) == 2
    # Two workers write at once: words and ends of lines may stand in any order.
    assert err.count("thinking") == 2
    assert err.replace("thinking", "").strip() == "2 variants, 0 with errors in their findings, 0 failed"


@pytest.mark.usefixtures("no_processes")
@pytest.mark.parametrize("kind", ["svg", "pdf"])
def test_a_chart(kind: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    command = ["sweep", "k.py", "thickness=3,7,4", "--out", "k.csv", "--jobs", "1", "--plot", f"k.{kind}"]
    assert main(command) == 1
    assert capsys.readouterr().out.endswith(f"\nk.{kind}\n")
    fresh = (folder / f"k.{kind}").read_bytes()
    assert fresh.startswith(b"%PDF" if kind == "pdf" else b"<svg")
    # Drawn from the rows of the file, it is the same.
    assert main(command) == 1
    assert (folder / f"k.{kind}").read_bytes() == fresh
    assert ran(folder) == 3


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["blade_lenght=1"], unknown("parameter", "blade_lenght", "blade_length")),
        (["blade_length=1:2"], refusal("blade_length", "'1:2'")),
        (["blade_length=1,2", "--plot", "k.png"], "--plot k.png: name a file that ends with .svg or .pdf"),
        (
            ["blade_length=1,2", "thickness=3,4", "wait_s=0,1", "--plot", "k.svg"],
            "a chart shows one or two parameters, and blade_length, thickness, wait_s have more than one value",
        ),
        (
            ["blade_length=1", "--plot", "k.svg"],
            "no parameter has more than one value; give one of them more",
        ),
        (["blade_length=100", "--out", "."], "--out .: that is a folder; name a file, for example sweep.csv"),
        (["blade_length=100", "--out", "k.py/x.csv"], "cannot write to k.py/x.csv: "),
        (["thickness=3", "--out", "sweep.pdf"], "--out sweep.pdf: name a file that ends with .csv"),
    ],
)
def test_mistakes_are_told_in_one_line_before_anything_runs(
    arguments: list[str], message: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["sweep", "k.py", *arguments]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith("bladegeom: ")
    assert message in told.err
    assert told.err.count("\n") == 1
    assert ran(folder) == 0


def test_links_in_a_circle_in_place_of_table_and_chart(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "round.csv").symlink_to("round.csv")
    assert main(["sweep", "k.py", "thickness=2,3", "--out", "round.csv", "--plot", "round.svg"]) == 2
    assert capsys.readouterr().err.startswith("bladegeom: round.csv is a link that leads nowhere")
    assert ran(folder) == 0


@pytest.mark.usefixtures("folder")
@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ([], "name at least one parameter with its values, such as blade_length=100:130:5"),
        (["thickness=3", "--jobs", "0"], "argument --jobs: '0' must be a whole number from 1 on"),
        (["thickness=3", "--out", ""], "argument --out: it must not be empty"),
    ],
)
def test_bad_usage(arguments: list[str], message: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["sweep", "k.py", *arguments])
    assert stop.value.code == 2
    assert message in capsys.readouterr().err


def parameters(signature: str) -> dict[str, inspect.Parameter]:
    space: dict[str, object] = {}
    exec(f"def design({signature}): ...", space)
    return dict(inspect.signature(space["design"]).parameters)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("signature", "text", "values"),
    [
        ("a: float = 1.0", "a=3,3.5,4", (3.0, 3.5, 4.0)),
        ("a: float = 1.0", "a=100:130:10", (100.0, 110.0, 120.0, 130.0)),
        ("a: float = 1.0", "a=100:130:20", (100.0, 120.0)),
        ("a: float = 1.0", "a=0:1:0.1", tuple(n / 10 for n in range(11))),
        ("a: float = 1.0", "a=5:4:-0.5", (5.0, 4.5, 4.0)),
        ("a: float = 1.0", "a=-1:1:1", (-1.0, 0.0, 1.0)),
        ("a: float = 1.0", "a=4:4:1", (4.0,)),
        ("a: float = 1.0", "a=2, 3:4:1 ,6", (2.0, 3.0, 4.0, 6.0)),
        # 4 to 5 in by quarters; 1 to 2 in by sixths, whose step is no exact number of mm.
        ("a: float = 1.0", "a=4 in:5 in:1/4 in", tuple(25.4 * n / 4 for n in range(16, 21))),
        ("a: float = 1.0", "a=1 in:2 in:1/6 in", tuple(25.4 * n / 6 for n in range(6, 13))),
        ("n: int = 1", "n=1:5:2", (1, 3, 5)),
        ("lean_deg: float = 1.0", "lean_deg=-10:10:10", (-10.0, 0.0, 10.0)),
        ("on: bool = True", "on=yes,no", (True, False)),
        ("steel: str = ''", "steel=1084,a:b", ("1084", "a:b")),
    ],
)
def test_values(signature: str, text: str, values: tuple[object, ...]) -> None:
    ((got,),) = (tuple(read_grid(parameters(signature), [text]).values()),)
    assert got == pytest.approx(values, rel=1e-14) if isinstance(values[0], float) else got == values
    assert [type(value) for value in got] == [type(value) for value in values]


@pytest.mark.parametrize(
    ("texts", "message"),
    [
        (["a=1:2:0"], refusal("a", "'1:2:0'")),
        (["a=2:1:1"], "a step that leads from the first"),
        (["a=1:2:-1"], "a step that leads from the first"),
        (["a=1:2:3:4"], "FIRST:LAST:STEP"),
        (["a=1:2:x"], refusal("a", "'x'")),
        (["a=0:1:1e-9"], refusal("a", "'1e-9'")),
        (["a=0:1:0.00001"], "give at most 100000 values, it gives 100001"),
        (["a=1,,2"], "it is empty"),
        (["a=1,2,1"], refusal("a", "'1,2,1'")),
        (["a=1", "a=2"], refusal("a", "'2'")),
        (["a"], refusal("parameter", "'a'")),
        (["n=1:2:0.5"], refusal("n", "'0.5'")),
        (["on=1,no"], refusal("on", "'1'")),
    ],
)
def test_values_that_cannot_be_read(texts: list[str], message: str) -> None:
    with pytest.raises(BladegeomError) as caught:
        read_grid(parameters("a: float = 1.0, n: int = 1, on: bool = True"), texts)
    assert message in str(caught.value)


ROW = Row(
    parameters={"name": 'a "b",\nc', "on": True, "n": 3, "a": 0.1},
    outcome=Outcome(
        mass=1234.5678,
        balance=-0.0,
        blade_length=100.0,
        overall_length=218.0001,
        lightening=0.0,
        errors=3,
        error_codes=("rim", "web"),
        warnings=0,
        warning_codes=(),
    ),
)


@pytest.mark.parametrize("outcome", [ROW.outcome, 'k.py, line 3: E: "x", y'])
def test_rows_read_back_as_they_were(outcome: Outcome | str, tmp_path: Path) -> None:
    row = Row(parameters=ROW.parameters, outcome=outcome)
    sweep_table = SweepTable(names=tuple(row.parameters), state="abc")
    text = sweep_table.head + sweep_table.line(row) * 2
    (tmp_path / "x.csv").write_bytes(text)
    assert text.count(b"\n") == 3
    assert b"-0.0" not in text
    back = list(sweep_table.rows_in(tmp_path / "x.csv", [row.parameters] * 2))
    assert [read for read, _ in back] == [row, row]
    assert [length for _, length in back] == [len(text) - len(sweep_table.line(row)), len(text)]
    with pytest.raises(ExportError, match="in row 1, n is 3, not 4"):
        list(sweep_table.rows_in(tmp_path / "x.csv", [{**row.parameters, "n": 4}]))


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_the_bar_is_drawn_on_a_terminal_only(monkeypatch: pytest.MonkeyPatch) -> None:
    now = 100.0
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setattr(time, "monotonic", lambda: now)
    for stream in (Terminal(), io.StringIO()):
        progress = Progress(12, stream)
        for _ in range(2):
            progress.skip()
        for _ in range(4):
            now += 1.0
            progress.step()
        progress.end()
        # 4 of 10 in 4 s: 6 s are left.
        last = stream.getvalue().split("\r")[-2] if stream.isatty() else stream.getvalue()
        expected = "[###############               ] 6 of 12, 0:06 left \x1b[K"
        assert last == (expected if stream.isatty() else "")

"""``bladegeom watch`` from its start to its end: what it says, what it leaves behind, and what it refuses."""

from __future__ import annotations

import importlib
import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from functools import partial
from pathlib import Path

import pytest
from watched import COMMAND, PATIENCE, PROC, STOPPED, Watch, left_over, watching

from bladegeom.cli import main

SCRIPT = """
from bladegeom import FlatBevel, Grind, Knife, Plunge, Stock, join_halves
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled


def design(blade_length: float = 110.0) -> Knife:
    outline = join_halves(DropPoint(blade_length=blade_length), Swelled())
    return Knife(
        name="Bare",
        outline=outline,
        stock=Stock(steel="1.4116", thickness=3.5),
        grind=Grind(bevel=FlatBevel(height=17.0, edge_thickness=0.4), plunge=Plunge(x=outline.heel[0])),
    )
"""

HERE = {"127.0.0.1", "::1"}

ENDLESS = "def design():\n    while True:\n        pass\n"


@pytest.fixture
def script(tmp_path: Path) -> Path:
    path = tmp_path / "bare.py"
    path.write_text(SCRIPT)
    return path


asked = partial(urllib.request.urlopen, timeout=PATIENCE)


def test_a_knife_is_shown_at_the_address_that_is_told(script: Path) -> None:
    with watching(script) as watch, asked(f"{watch.address}0/picture") as answer:
        picture = json.load(answer)
    assert picture["error"] is None
    assert picture["title"].startswith("Bare, revision ")
    assert [p["name"] for p in picture["parameters"]] == ["blade_length"]


def test_settings_of_the_command_line_hold_on_the_page(script: Path) -> None:
    hole = "Hole(x=-60.0, y=-12.0, diameter=8.0, purpose='lightening')"
    text = SCRIPT.replace('name="Bare",', f'name="Bare", holes=({hole},),')
    script.write_text(f"from bladegeom import Hole\n{text}")
    codes = {}
    for rim in ("2 mm", "30 mm"):
        settings = ("--setting", f"hole_rules.rim={rim}", "--setting", "units=inch")
        with watching(script, *settings) as watch, asked(f"{watch.address}0/judged") as answer:
            judged = json.load(answer)
        assert judged["error"] is None
        codes[rim] = [finding["code"] for finding in judged["findings"]]
        assert judged["numbers"][0]["value"].endswith(" in")
    assert "rim" in codes["30 mm"]
    assert "rim" not in codes["2 mm"]


@pytest.mark.long
def test_the_browser_is_opened_only_where_it_is_asked_for(script: Path, tmp_path: Path) -> None:
    note, opened = tmp_path / "note.py", tmp_path / "opened"
    note.write_text(f"import pathlib, sys; pathlib.Path({str(opened)!r}).write_text(sys.argv[1])")
    browser = f"{sys.executable} {note} %s"
    with watching(script, browser=browser) as watch:
        asked(f"{watch.address}0/picture").close()
        assert not opened.exists()
    with watching(script, "--open", browser=browser) as watch:
        end = time.monotonic() + PATIENCE
        while not (opened.exists() and opened.read_text()) and time.monotonic() < end:
            time.sleep(0.05)
        assert opened.read_text() == watch.address


@pytest.mark.skipif(not PROC.is_dir(), reason="no /proc to find processes in")
@pytest.mark.parametrize(
    ("number", "status", "text"),
    [
        pytest.param(signal.SIGINT, STOPPED, SCRIPT, id="Ctrl-C"),
        pytest.param(signal.SIGTERM, 143, SCRIPT, id="asked to end", marks=pytest.mark.long),
        pytest.param(signal.SIGHUP, 129, SCRIPT, id="terminal closed", marks=pytest.mark.long),
        pytest.param(signal.SIGINT, STOPPED, ENDLESS, id="Ctrl-C while the script runs", marks=pytest.mark.long),
    ],
)
def test_it_ends_without_a_trace(script: Path, number: int, status: int, text: str) -> None:
    script.write_text(text)
    with watching(script) as watch:
        if text is SCRIPT:
            asked(f"{watch.address}0/picture").close()
        else:
            wait_for_more_processes(watch)
        # A page that listens is no reason to stay.
        with socket.create_connection(("127.0.0.1", watch.port)) as page:
            path = watch.address.partition(str(watch.port))[2]
            page.sendall(f"GET {path}events HTTP/1.1\r\nHost: 127.0.0.1:{watch.port}\r\n\r\n".encode())
            page.recv(1)
            start = time.monotonic()
            ended, out, err = watch.end(number)
            assert time.monotonic() - start < PATIENCE / 3
        assert (ended, out) == (status, "")
        assert err == "bladegeom: stopped\n"
        assert left_over(watch.process.pid) == []
        with pytest.raises(ConnectionRefusedError):
            socket.create_connection(("127.0.0.1", watch.port))
        # The port is free again.
        socket.create_server(("127.0.0.1", watch.port)).close()


@pytest.mark.long
@pytest.mark.parametrize("wait", [0.15, 0.3, 0.0, 0.02, 0.05])
def test_ctrl_c_while_it_starts_shows_no_traceback(script: Path, wait: float) -> None:
    """Of the command itself, before its address and after it, when its processes begin to import."""
    run = [sys.executable, "-c", "import sys; from bladegeom.cli import main; print(flush=True); sys.exit(main())"]
    process = subprocess.Popen(
        [*run, "watch", str(script)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    )
    assert process.stdout is not None
    process.stdout.readline()
    if wait < 0.1:
        process.stdout.readline()
    time.sleep(wait)
    os.killpg(process.pid, signal.SIGINT)
    _, err = process.communicate(timeout=PATIENCE)
    assert (process.returncode, err) == (STOPPED, "bladegeom: stopped\n")


def wait_for_more_processes(watch: Watch) -> None:
    """Until the script is running somewhere."""
    end = time.monotonic() + PATIENCE
    while len(watch.processes()) < 3 and time.monotonic() < end:
        time.sleep(0.05)
    time.sleep(0.5)


@pytest.mark.long
@pytest.mark.skipif(not PROC.is_dir(), reason="no /proc to find processes in")
@pytest.mark.parametrize("text", [SCRIPT, ENDLESS], ids=["at rest", "while the script runs"])
def test_nothing_is_left_where_the_command_is_killed(script: Path, text: str) -> None:
    script.write_text(text)
    with watching(script) as watch:
        if text is SCRIPT:
            asked(f"{watch.address}0/picture").close()
        else:
            wait_for_more_processes(watch)
        watch.process.kill()
        watch.process.wait(timeout=PATIENCE)
        assert left_over(watch.process.pid) == []


@pytest.mark.long
def test_only_this_machine_is_listened_on(script: Path) -> None:
    with watching(script) as watch:
        for other in {str(info[4][0]) for info in socket.getaddrinfo(socket.gethostname(), None)} - HERE:
            with pytest.raises(OSError, match=r"refused|unreachable|timed out|assign|argument"):
                socket.create_connection((other, watch.port), timeout=2.0)


def refused(*arguments: str | Path) -> str:
    """What the command says where it ends at once, with status 2."""
    done = subprocess.run(
        [*COMMAND, *map(str, arguments)], capture_output=True, text=True, timeout=PATIENCE, check=False
    )
    assert (done.returncode, done.stdout) == (2, "")
    return done.stderr


def test_a_port_that_is_taken_is_refused(script: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        said = refused(script, "--port", str(port))
    assert said.count("\n") == 1
    assert f"--port is {port}; it must be a port that is free" in said


@pytest.mark.parametrize("port", ["0", "80", "65536", "-1", "x"])
def test_a_port_that_is_none_is_refused(script: Path, port: str) -> None:
    assert "must be a whole number from 1024 to 65535" in refused(script, "--port", port) or port == "-1"


def test_a_script_that_is_not_there_is_refused(script: Path) -> None:
    for said in (refused("none.py"), refused(script, "--beside", "none.py")):
        assert said == "bladegeom: none.py: the script cannot be read (No such file or directory)\n"


@pytest.mark.parametrize("name", ["starlette", "uvicorn", "watchfiles"])
def test_a_missing_library_is_told_in_one_sentence(
    script: Path, name: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for known in list(sys.modules):
        if known.startswith("bladegeom.watch.s") or known.partition(".")[0] == name or known == "bladegeom.watch.guard":
            monkeypatch.delitem(sys.modules, known)

    class Missing:
        def find_spec(self, wanted: str, *_: object) -> None:
            if wanted.partition(".")[0] == name:
                raise ModuleNotFoundError(f"No module named {wanted!r}", name=wanted)

    monkeypatch.setattr(sys, "meta_path", [Missing(), *sys.meta_path])
    importlib.invalidate_caches()
    assert main(["watch", str(script)]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert f"needs the library {name}, which is not installed" in said
    # Quoted: to zsh and PowerShell brackets mean something.
    assert 'pip install ".[watch]"' in said

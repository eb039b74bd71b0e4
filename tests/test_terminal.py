"""What a terminal shows and a pipe never gets: colour, and a line that says what is going on; at a pseudo-terminal."""

from __future__ import annotations

import io
import os
import pty
import re
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TextIO

import pytest

from bladegeom.cli import busy as module
from bladegeom.cli import main
from bladegeom.cli.busy import busy
from bladegeom.cli.progress import Progress
from bladegeom.cli.tell import tell
from bladegeom.cli.terminal import coloured
from bladegeom.commands.starter import starter_script

pytestmark = pytest.mark.skipif(os.name == "nt", reason="pseudo-terminals are POSIX")

ERROR, WARNING, NOTE = "error [rim] it is thin", "warning [web] it is narrow", "note [bevel-reaches-spine] it does"


@pytest.fixture(autouse=True)
def _plain_surroundings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)


class Reader:
    """The far end of a pseudo-terminal: all that was written to it so far."""

    def __init__(self, end: int) -> None:
        self._end, self._bytes = end, b""
        os.set_blocking(end, False)

    @property
    def text(self) -> str:
        while True:
            try:
                more = os.read(self._end, 1 << 16)
            except (BlockingIOError, OSError):  # nothing there yet, or nobody writes any more
                break
            if not more:
                break
            self._bytes += more
        return self._bytes.decode()


@contextmanager
def terminal() -> Iterator[tuple[Reader, TextIO]]:
    far, near = pty.openpty()
    with open(near, "w", encoding="utf-8") as stream:  # noqa: PTH123 - it has a number and no path
        yield Reader(far), stream
    os.close(far)


def screen(text: str) -> list[str]:
    """Lines that such a text leaves on a screen: carriage returns, line feeds, and clearing to the line's end."""
    lines, column = [""], 0
    for part in re.findall(r"\x1b\[K|\x1b\[[0-9;]*m|[\s\S]", text):
        line = lines[-1]
        if part == "\x1b[K":
            lines[-1] = line[:column]
        elif part == "\r":
            column = 0
        elif part == "\n":
            lines.append("")
        elif not part.startswith("\x1b"):
            lines[-1] = line[:column] + part + line[column + 1 :]
            column += 1
    return lines


def wait_for(reader: Reader, words: str) -> None:
    end = time.monotonic() + 20
    while words not in reader.text and time.monotonic() < end:
        time.sleep(0.005)
    assert words in reader.text


# Colour.


def test_words_that_matter_are_coloured_on_a_terminal_and_stay() -> None:
    with terminal() as (reader, stream):
        for text in (ERROR, WARNING, NOTE, "  error OVERRIDDEN [rim] it is thin", "NOT RELEASED: it is thin"):
            tell(text, to=stream)
        stream.flush()
        told = reader.text
    assert screen(told)[:3] == [ERROR, WARNING, NOTE]
    assert re.findall(r"\x1b\[[0-9;]*m(.*?)\x1b\[0m", told) == ["error", "warning", "error", "NOT RELEASED"]


@pytest.mark.parametrize(("name", "value"), [("NO_COLOR", "1"), ("TERM", "dumb")])
def test_who_wants_no_colour_gets_none(name: str, value: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(name, value)
    with terminal() as (_, stream):
        assert coloured(ERROR, stream) == ERROR


def test_an_empty_no_color_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    """Source: no-color.org: "when present and not an empty string"."""
    monkeypatch.setenv("NO_COLOR", "")
    with terminal() as (_, stream):
        assert coloured(ERROR, stream) != ERROR


def test_nothing_is_coloured_in_pipes_and_files() -> None:
    assert coloured(ERROR, io.StringIO()) == ERROR


def test_only_the_word_before_a_code_is_coloured() -> None:
    text = "this brings an error [rim] and a warning [web]\n  pin errors: error [rim"
    with terminal() as (_, stream):
        assert coloured(text, stream) == text


# What is going on.


@pytest.fixture
def soon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "FIRST", 0.02)
    monkeypatch.setattr(module, "_EVERY", 0.01)


@pytest.mark.usefixtures("soon")
def test_a_line_says_what_takes_long_and_nothing_stays_of_it(monkeypatch: pytest.MonkeyPatch) -> None:
    before = threading.enumerate()
    with terminal() as (reader, stream):
        monkeypatch.setattr(sys, "stderr", stream)
        with busy("design() of slow.py is running"):
            wait_for(reader, "\rdesign() of slow.py is running, 0 s\x1b[K")
        assert screen(reader.text) == [""]
        assert sys.stderr is stream
    assert threading.enumerate() == before


def stopped(reader: Reader) -> None:
    with busy("checking slow.py"):
        wait_for(reader, "checking")
        raise KeyboardInterrupt


@pytest.mark.usefixtures("soon")
def test_it_is_taken_away_when_something_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    before = threading.enumerate()
    with terminal() as (reader, stream):
        monkeypatch.setattr(sys, "stderr", stream)
        with pytest.raises(KeyboardInterrupt):
            stopped(reader)
        assert screen(reader.text) == [""]
    assert threading.enumerate() == before


@pytest.mark.usefixtures("soon")
def test_what_a_script_prints_stands_above_the_line(monkeypatch: pytest.MonkeyPatch) -> None:
    with terminal() as (reader, stream):
        monkeypatch.setattr(sys, "stderr", stream)
        with busy("slow.py is running"):
            wait_for(reader, "slow.py")
            sys.stderr.write("thinking\n")
            # Nothing begins no line.
            sys.stderr.write("")
            wait_for(reader, "thinking")
            shown, end = reader.text.index("thinking"), time.monotonic() + 20
            while "slow.py" not in reader.text[shown:] and time.monotonic() < end:
                time.sleep(0.005)
            assert "slow.py" in reader.text[shown:]
            # A line that is begun and not ended is somebody else's.
            sys.stderr.write("20 %")
            sys.stderr.flush()
            wait_for(reader, "20 %")
            shown = len(reader.text)
            time.sleep(0.1)
            assert reader.text[shown:] == ""
        assert screen(reader.text) == ["thinking", "20 %"]


@pytest.mark.usefixtures("soon")
def test_a_long_name_does_not_run_over_the_line(monkeypatch: pytest.MonkeyPatch) -> None:
    with terminal() as (reader, stream):
        monkeypatch.setattr(sys, "stderr", stream)
        with busy(f"{'x' * 300}\x1b[2J is running"):
            wait_for(reader, ", 0 s")
        # Beside the return to the beginning: a letter in the last of the 80 columns would begin a new line.
        assert max(map(len, reader.text.removesuffix("\r\x1b[K").split("\x1b[K"))) <= 1 + 79
        assert "\x1b[2J" not in reader.text


def test_what_is_quick_says_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    with terminal() as (reader, stream):
        monkeypatch.setattr(sys, "stderr", stream)
        with busy("checking quick.py"):
            pass
        progress = Progress(3, stream)
        for _ in range(3):
            progress.step()
        progress.end()
        assert reader.text == ""


@pytest.mark.parametrize("quiet", ["pipe", "dumb"])
@pytest.mark.usefixtures("soon")
def test_nothing_is_said_on_a_pipe_or_a_dumb_terminal(quiet: str, monkeypatch: pytest.MonkeyPatch) -> None:
    with terminal() as (_, stream):
        if quiet == "dumb":
            monkeypatch.setenv("TERM", "dumb")
        monkeypatch.setattr(sys, "stderr", stream if quiet == "dumb" else io.StringIO())
        wanted, before = sys.stderr, threading.enumerate()
        with busy("checking slow.py"):
            # Nobody waits, and nobody stands between a script and its terminal.
            assert sys.stderr is wanted
            assert threading.enumerate() == before


def slow(name: str, seconds: float) -> str:
    """A script that takes its time when it is read, and as much when it is called."""
    text = starter_script(name, blade="drop_point", handle="swelled")
    text = text.replace("    outline = ", f"    time.sleep({seconds})\n    outline = ", 1)
    return text.replace("\nfrom ", f"\nimport time\n\ntime.sleep({seconds})\nfrom ", 1)


def test_a_slow_script_is_told_of_by_the_command(tmp_path: Path) -> None:
    (tmp_path / "slow.py").write_text(slow("slow", 1.3))
    with terminal() as (reader, stream):
        command = [sys.executable, "-m", "bladegeom", "check", "slow.py"]
        done = subprocess.run(
            command, cwd=tmp_path, stdout=subprocess.PIPE, stderr=stream, text=True, timeout=60, check=False
        )
        told = reader.text
    assert done.returncode == 0
    assert "\rslow.py is running, 1 s\x1b[K" in told
    assert "\rdesign() of slow.py is running, 1 s\x1b[K" in told
    assert screen(told) == [""]
    assert "\x1b" not in done.stdout


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["check", "k.py"], "checking k.py"),
        (["report", "k.py"], "report of k.py"),
        (["differ", "k.py", "thickness=4"], "what differs in k.py"),
        pytest.param(["export", "k.py"], "papers and cut files of k.py", marks=pytest.mark.long),
        pytest.param(["book", "k.py"], "bench book of k.py", marks=pytest.mark.long),
        pytest.param(["nest", "k.py", "--bar", "50 x 1000"], "laying the blanks", marks=pytest.mark.long),
    ],
)
def test_commands_say_what_they_are_at(
    arguments: list[str], words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(module, "FIRST", 0.0)
    monkeypatch.setattr(module, "_EVERY", 0.2)
    Path("k.py").write_text(slow("k", 0.05))
    with terminal() as (reader, stream):
        monkeypatch.setattr(sys, "stderr", stream)
        assert main(arguments) == 0
        told = reader.text
    for said in ("k.py is running", "design() of k.py is running", words):
        assert f"\r{said}, 0 s" in told
    assert screen(told) == [""]

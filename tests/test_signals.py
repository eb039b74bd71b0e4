"""Whatever moment a signal comes at: nothing is lost, mixed or left behind, and one line says that it stopped."""

from __future__ import annotations

import contextlib
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

SCRIPT = Path(__file__).resolve().parent.parent / "examples" / "traced_knife.py"

ENDING = {signal.SIGINT: 130, signal.SIGTERM: 143, signal.SIGHUP: 129}

COMMANDS = {
    "export": ("export", "knife.py", "--paper", "A4", "--out", "out"),
    "book": ("book", "knife.py", "--paper", "A4", "--out", "out"),
    "nest": (
        "nest",
        "knife.py",
        "--bar",
        "50 x 1000",
        "--copies",
        "3",
        "--out",
        "out/nest.pdf",
        "--dxf",
        "out/nest.dxf",
    ),
    "sweep": ("sweep", "knife.py", "thickness=3,3.2,3.4,3.6", "--jobs", "1", "--out", "out/sweep.csv"),
}

LAST = {"export": 2.2, "book": 1.6, "nest": 1.2, "sweep": 2.6}
"""About how long each takes, s: signals come from the start to a little after the end."""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What each command makes of the script where nothing stops it, and of the script as it was before."""
    home = tmp_path_factory.mktemp("made")
    source = SCRIPT.read_text(encoding="utf-8")
    for state, thickness in (("old", "3.2"), ("new", "3.0")):
        for command, words in COMMANDS.items():
            folder = home / f"{command}-{state}"
            _set_up(folder, source.replace("thickness: float = 3.0", f"thickness: float = {thickness}"))
            done = subprocess.run(_line(words), cwd=folder, env=_environment(), capture_output=True, check=False)
            assert done.returncode == 0, done.stderr
    return home


def _set_up(folder: Path, source: str) -> None:
    (folder / "out").mkdir(parents=True)
    (folder / "knife.py").write_text(source, encoding="utf-8")
    for beside in SCRIPT.parent.glob("traced*"):
        if beside != SCRIPT:
            shutil.copy(beside, folder)


def _line(words: tuple[str, ...]) -> list[str]:
    return [sys.executable, "-m", "bladegeom", *words]


def _environment() -> dict[str, str]:
    return {**os.environ, "PYTHONDONTWRITEBYTECODE": ""}


def _heeds_ctrl_c() -> None:
    """A child of a background job would ignore it."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def _held(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def _stop_once(made: Path, folder: Path, command: str, rng: random.Random) -> None:
    """Stop a command that replaces what an earlier state of the script made, at a random moment."""
    shutil.copytree(made / f"{command}-old", folder)
    shutil.copy(made / f"{command}-new" / "knife.py", folder)
    old, new = (_held(made / f"{command}-{state}" / "out") for state in ("old", "new"))
    if command == "sweep":
        # Another state of the design is refused, so that it begins anew.
        (folder / "out" / "sweep.csv").unlink()
        old = {}
    number = rng.choice(list(ENDING))
    child = subprocess.Popen(
        _line(COMMANDS[command]), cwd=folder, env=_environment(), stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
        preexec_fn=_heeds_ctrl_c,  # noqa: PLW1509 - no thread runs
        start_new_session=True,
    )  # fmt: skip
    _wait(child, folder / "out", rng, LAST[command])
    # A terminal tells every process of it, another program the first alone.
    with contextlib.suppress(ProcessLookupError):
        os.killpg(child.pid, number) if rng.random() < 0.5 else child.send_signal(number)
    # It ends when the last of them has closed the standard error.
    _, said = child.communicate(timeout=60)
    now = _held(folder / "out")
    part = now.pop("sweep.csv.part", None)
    if child.returncode == 0:
        assert now == new
    else:
        # Before the program has begun to heed them, a signal ends it as any other.
        assert child.returncode in (ENDING[number], -number), said
        if child.returncode > 0:
            assert said.startswith(b"bladegeom: stopped"), said
            assert said.count(b"\n") == 1
        elif child.returncode != -signal.SIGINT:
            assert not said
        assert now in (old, new)
    if part is not None:
        # What there is of a sweep are whole rows of it.
        assert new["sweep.csv"].startswith(part[: part.rfind(b"\n") + 1])


def _wait(child: subprocess.Popen[bytes], out: Path, rng: random.Random, last: float) -> None:
    """For a random time; as often for the moment at which files are put in place, and a random bit of it."""
    until = time.monotonic() + rng.uniform(0.0, last)
    if rng.random() < 0.5:
        time.sleep(until - time.monotonic())
        return
    while child.poll() is None and not list(out.glob(".bladegeom-*")) and time.monotonic() < until + last:
        time.sleep(0.0005)
    time.sleep(rng.uniform(0.0, 0.02))


@pytest.mark.long
@pytest.mark.parametrize("command", COMMANDS)
def test_signals_at_random_moments(made: Path, tmp_path: Path, command: str) -> None:
    """``BLADEGEOM_SIGNALS`` says how many for each command."""
    rng = random.Random(command)
    for i in range(int(os.environ.get("BLADEGEOM_SIGNALS", "6"))):
        _stop_once(made, tmp_path / f"{i}", command, rng)


def test_ctrl_c_while_the_command_line_is_being_read(tmp_path: Path) -> None:
    """A library that takes its time to be read, and is stopped in it."""
    (tmp_path / "argparse.py").write_text("import os, signal\nos.kill(os.getpid(), signal.SIGINT)\n")
    done = subprocess.run(
        _line(("check", "knife.py")), cwd=tmp_path, capture_output=True, check=False, preexec_fn=_heeds_ctrl_c
    )
    assert (done.returncode, done.stderr) == (130, b"bladegeom: stopped\n")


def test_a_script_that_raises_what_ctrl_c_raises_is_told_of(tmp_path: Path) -> None:
    (tmp_path / "knife.py").write_text("raise KeyboardInterrupt\n")
    done = subprocess.run(_line(("check", "knife.py")), cwd=tmp_path, capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (2, b"bladegeom: knife.py, line 1: KeyboardInterrupt\n")


@pytest.mark.long
@pytest.mark.parametrize("after", [0.9, 1.0, 1.1, 1.2, 1.3])
def test_a_second_request_to_end_does_not_leave_workers_waiting(made: Path, tmp_path: Path, after: float) -> None:
    """A terminal that is closed may tell of it twice, by its driver and by its shell."""
    shutil.copytree(made / "sweep-old", tmp_path, dirs_exist_ok=True)
    (tmp_path / "out" / "sweep.csv").unlink()
    words = [word if word != "1" else "2" for word in COMMANDS["sweep"]]
    child = subprocess.Popen(_line(tuple(words)), cwd=tmp_path, stderr=subprocess.PIPE, start_new_session=True)
    try:
        for wait in (after, 0.015):
            time.sleep(wait)
            child.send_signal(signal.SIGHUP)
        _, said = child.communicate(timeout=20)
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(child.pid, signal.SIGKILL)
    assert child.returncode in (0, 129, -signal.SIGHUP)
    assert b"Traceback" not in said

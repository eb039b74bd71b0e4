"""Whatever a command reads, a pipe is not waited for and a device not read to its end: one sentence names it."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Final

import pytest

from bladegeom.cli import main

SCRIPT: Final = Path(__file__).resolve().parents[1] / "examples" / "kindling_knife.py"

COMMANDS: Final[Mapping[str, Callable[[Path, Path], list[str]]]] = {
    "a script": lambda _script, odd: ["check", str(odd)],
    "an order": lambda script, _odd: ["check", str(script)],
    "settings": lambda script, _odd: ["check", str(script)],
    "a price list": lambda script, odd: ["quote", str(script), "--prices", str(odd)],
    "a cut file": lambda _script, odd: ["preflight", str(odd)],
    "a script to watch": lambda _script, odd: ["watch", str(odd)],
}


@pytest.fixture(params=["a pipe", "a device"])
def kind(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.mark.parametrize("what", COMMANDS)
def test_what_is_no_file_is_neither_waited_for_nor_read(
    what: str, kind: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    script = tmp_path / "knife.py"
    script.write_bytes(SCRIPT.read_bytes())
    odd = tmp_path / ("knife.order.toml" if what == "an order" else "odd")
    if kind == "a pipe":
        os.mkfifo(odd)
    else:
        odd.symlink_to("/dev/zero")
    if what == "settings":
        monkeypatch.setenv("BLADEGEOM_SETTINGS", str(odd))
    assert main(COMMANDS[what](script, odd)) == 2
    told = capsys.readouterr().err
    assert odd.name in told
    assert kind in told
    assert told.count("\n") == 1

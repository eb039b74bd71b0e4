"""A script while it is shaped: saves, moves, errors and recovery; a process that can be ended; memory that is flat."""

from __future__ import annotations

import contextlib
import gc
import json
import math
import multiprocessing
import os
import shutil
import signal
import subprocess
import sys
import threading
import time
import tracemalloc
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from refusals import assert_tells
from watched import PROC, session

from bladegeom import Design, ParameterError
from bladegeom.commands.difference import difference
from bladegeom.commands.starter import starter_script
from bladegeom.quantities.file_errors import ExportError, ScriptError
from bladegeom.settings.settings_file import read_settings
from bladegeom.settings.settings_place import VARIABLE
from bladegeom.watch import process
from bladegeom.watch.bench import Bench
from bladegeom.watch.shaping import Shaping

KNIFE = starter_script("sample", blade="drop_point", handle="straight")
EXAMPLES = Path(__file__).resolve().parents[1] / "examples"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    script = tmp_path / "k.py"
    script.write_text(KNIFE, encoding="utf-8")
    return script


@pytest.fixture(scope="module")
def watched(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Shaping, Path]]:
    path = tmp_path_factory.mktemp("watched") / "k.py"
    path.write_text(KNIFE, encoding="utf-8")
    made = Shaping(path)
    yield made, path
    made.close()


@pytest.fixture
def shaping(watched: tuple[Shaping, Path]) -> Shaping:
    """One for all tests, as new: the script as it comes, nothing turned."""
    made, path = watched
    made.move({})
    save(made, path, KNIFE)
    return made


@pytest.fixture
def script(watched: tuple[Shaping, Path]) -> Path:
    """What it watches."""
    return watched[1]


def dial(picture: dict[str, Any], name: str) -> Any:
    return {each["name"]: each for each in picture["parameters"]}[name]


def save(shaping: Shaping, path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8")
    shaping.saved()


def test_moves_errors_recovery_and_writing(shaping: Shaping, script: Path) -> None:
    first = shaping.picture()
    assert first["error"] is None
    assert first["state"] == shaping.state
    assert first["name"] == "k"
    assert json.loads(json.dumps(first)) == first
    assert dial(first, "blade_length")["moved"] is False

    shaping.move({"blade_length": "4-3/4 in"})
    moved = shaping.picture()
    assert moved["state"] > first["state"]
    assert moved["svg"] != first["svg"]
    length = dial(moved, "blade_length")
    assert (length["value"], length["typed"], length["moved"]) == ("120.65", "4-3/4 in", True)

    shaping.move({"blade_length": "4-3/4 in", "thickness": "thick"})
    refused = shaping.picture()
    assert refused["error"]["parameter"] == "thickness"
    assert dial(refused, "thickness")["typed"] == "thick"
    assert refused["svg"] == moved["svg"]

    shaping.move({"blade_length": "4-3/4 in"})
    save(shaping, script, KNIFE.replace("return", "retrun", 1))
    broken = shaping.picture()
    line = next(i for i, text in enumerate(KNIFE.splitlines(), start=1) if "return" in text)
    assert (broken["error"]["file"], broken["error"]["line"]) == ("k.py", line)
    assert "retrun" in broken["error"]["source"]
    assert broken["svg"] == moved["svg"]
    assert [each["name"] for each in broken["parameters"]] == [each["name"] for each in moved["parameters"]]

    save(shaping, script, KNIFE.replace("    thickness: float", "    bar: float").replace("=thickness", "=bar"))
    again = shaping.picture()
    # What is turned stays turned over an error and a save; what the script has no more is let go.
    assert again["error"] is None
    assert dial(again, "blade_length")["typed"] == "4-3/4 in"
    assert again["svg"] == moved["svg"]

    words = shaping.write()
    assert_tells(words, "k.py", "blade_length", "120.65")
    assert Design.from_script(script).knife.outline.tip[0] == pytest.approx(4.75 * 25.4)
    written = shaping.picture()
    assert written["svg"] == moved["svg"]
    assert dial(written, "blade_length")["moved"] is False
    # What is written is turned no more: the next number in the script is the one that holds.
    save(shaping, script, script.read_text().replace("120.65", "118.0"))
    assert dial(shaping.picture(), "blade_length")["value"] == "118"

    shaping.move({"blade_length": "100"})
    script.write_text(script.read_text() + "# later\n")
    with pytest.raises(ExportError, match="changed since"):
        shaping.write()
    shaping.saved()
    save(shaping, script, "design = lambda a=1.0: 1\n")
    shaping.move({"a": "2"})
    with pytest.raises(ScriptError):
        shaping.write()


def test_what_follows_is_told_with_what_changed(path: Path) -> None:
    bench = Bench(path)
    plain = bench.judged({}, ())
    assert plain["error"] is None
    assert (plain["since"], plain["changes"]) == ("the save before", [])
    design = Design.from_script(path)
    assert plain["title"] == design.title
    assert plain["balance"]["x"] == design.weighing.balance_from_front
    assert [each["code"] for each in plain["findings"]] == [each.code for each in design.findings]
    rows = {row["key"]: row for row in plain["numbers"]}
    assert rows["mass"]["value"] == f"{design.weighing.total.amount:.1f} g"
    assert [section["x"] for section in plain["sections"]] == bench.picture({})["stations"]
    assert json.loads(json.dumps(plain)) == plain

    turned = bench.judged({"thickness": "3/16 in"}, (20.0,))
    assert turned["since"] == "the script"
    assert_tells(turned["changes"][0], "thickness: ", "->", "4.762 mm (3/16 in)")
    sentences = difference(design, Design.from_script(path, thickness=4.7625))
    assert turned["changes"][1:] == list(sentences)
    assert [section["x"] for section in turned["sections"]] == [20.0]

    path.write_text(KNIFE.replace("    thickness: float = ", "    thickness: float = 1.0 + "), encoding="utf-8")
    bench.forget()
    saved = bench.judged({}, ())
    assert saved["since"] == "the save before"
    assert saved["changes"] == list(difference(design, Design.from_script(path)))
    assert saved["changes"]
    # Saved once more as it is, which says nothing new.
    bench.forget()
    assert bench.judged({}, ())["changes"] == saved["changes"]


def test_the_settings_of_the_machine_hold_as_in_every_command(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    settings = path.with_name("settings.toml")
    settings.write_text('[bladegeom]\nunits = "inch"\nhand_breadth = 60\n')
    monkeypatch.setenv(VARIABLE, str(settings))
    bench = Bench(path)
    picture = bench.picture({})
    assert picture["error"] is None
    assert dial(picture, "thickness")["shown"] == "0.138 in (3.50 mm)"
    held = Design.from_script(path, settings=read_settings())
    codes = [finding.code for finding in held.findings]
    judged = bench.judged({}, ())
    assert [finding["code"] for finding in judged["findings"]] == codes
    (bar,) = [row for row in judged["numbers"] if row["key"] == "thickness"]
    assert (bar["value"], bar["second"]) == ("0.138 in", "3.50 mm")
    assert codes != [finding.code for finding in Design.from_script(path).findings]
    settings.write_text("[bladegeom]\npapre = 1\n")
    bench.forget()
    assert bench.picture({})["error"]["file"] == "settings.toml"


def test_the_stockroom_is_followed(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    settings, steel = path.with_name("settings.toml"), path.with_name("own") / "steels" / "shop 7.toml"
    settings.write_text('[bladegeom]\nstockroom = "own"\n')
    steel.parent.mkdir(parents=True)
    steel.write_text('density_g_cm3 = 7.8\nsource = "weighed"\n')
    monkeypatch.setenv(VARIABLE, str(settings))
    source = path.read_text(encoding="utf-8")
    assert source.count('"1.4116"') == 1
    path.write_text(source.replace('"1.4116"', '"shop 7"'), encoding="utf-8")
    bench = Bench(path)
    picture = bench.picture({})
    assert picture["error"] is None
    assert str(steel) in picture["watched"]
    steel.write_text("density_g_cm3 = 7.8\n")
    bench.forget()
    picture = bench.picture({})
    assert "lacks source" in picture["error"]["message"]
    assert str(steel) in picture["watched"]
    shutil.rmtree(path.with_name("own"))
    bench.forget()
    assert "stockroom" in bench.picture({})["error"]["message"]


def test_errors_of_helpers_and_of_the_order_are_told_with_their_own_file(path: Path) -> None:
    shutil.copy(EXAMPLES / "galley_petty.py", path)
    order = path.with_name("k.order.toml")
    shutil.copy(EXAMPLES / "galley_petty.order.toml", order)
    bench = Bench(path)
    assert bench.judged({}, ())["error"] is None
    lines = order.read_text().splitlines()
    order.write_text("\n".join([*lines[:3], "??", *lines[3:]]))
    bench.forget()
    error = bench.judged({}, ())["error"]
    assert (error["file"], error["line"], error["source"]) == ("k.order.toml", 4, "??")

    order.unlink()
    helper = path.with_name("sizes.py")
    helper.write_text("LONG = 110.0\n")
    path.write_text("import sizes\n" + KNIFE, encoding="utf-8")
    bench.forget()
    told = bench.picture({})
    assert told["error"] is None
    agreed = path.with_name("k.agreed.toml")
    assert set(told["watched"]) == {str(path), str(order), str(agreed), str(helper)}
    helper.write_text("LONG = 110.0\nshort = LONG / 0\n")
    bench.forget()
    failed = bench.picture({})
    assert (failed["error"]["file"], failed["error"]["line"]) == ("sizes.py", 2)
    assert failed["error"]["source"] == "short = LONG / 0"
    assert str(helper) in failed["watched"]
    helper.write_text("LONG = 110.0\n\nshort = (\n")
    bench.forget()
    slip = bench.picture({})
    assert (slip["error"]["file"], slip["error"]["line"], slip["error"]["source"]) == ("sizes.py", 3, "short = (")
    assert_tells(slip["error"]["message"], "no Python as it stands")
    assert str(helper) in slip["watched"]


def test_a_script_that_never_ends_is_ended_and_told_with_its_line(path: Path) -> None:
    shaping = Shaping(path, limit=3.0)
    with contextlib.closing(shaping):
        good = shaping.picture()
        save(shaping, path, KNIFE.replace("    return", "    while True:\n        blade_length += 0\n    return", 1))
        stuck = shaping.picture()
        assert_tells(stuck["error"]["message"], "3 s")
        assert stuck["error"]["file"] == "k.py"
        assert stuck["error"]["source"].strip() in ("while True:", "blade_length += 0")
        assert stuck["svg"] == good["svg"]
        save(shaping, path, KNIFE)
        assert shaping.picture()["error"] is None


def test_a_script_that_ends_its_process_is_told_and_the_next_save_is_drawn(shaping: Shaping, script: Path) -> None:
    save(shaping, script, KNIFE + "\nimport os\nos._exit(3)\n")
    gone = shaping.picture()
    assert "ended" in gone["error"]["message"]
    save(shaping, script, KNIFE)
    assert shaping.picture()["error"] is None


@pytest.mark.skipif(not hasattr(os, "fork"), reason="a system on which no process is split")
def test_what_a_script_does_to_its_process_spoils_no_later_answer(shaping: Shaping, script: Path) -> None:
    for spoiled in ("os.fork()", "os.chdir('/')"):
        save(shaping, script, f"import os\n{spoiled}\n{KNIFE}")
        pictures = []
        for blade_length in ("100", "105", "110"):
            shaping.move({"blade_length": blade_length})
            pictures.append(dial(shaping.picture(), "blade_length")["value"])
        assert pictures == ["100", "105", "110"], spoiled
    save(shaping, script, KNIFE + "\nraise KeyboardInterrupt\n")
    assert "ended" in shaping.picture()["error"]["message"]
    save(shaping, script, KNIFE)
    assert shaping.picture()["error"] is None


def test_a_relative_script_is_found_after_it_went_elsewhere(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(path.parent)
    shaping = Shaping(Path("k.py"))
    try:
        for length in ("110.0", "120.0"):
            save(shaping, path, "import os\nos.chdir('/')\n" + KNIFE.replace("110.0", length))
            assert dial(shaping.picture(), "blade_length")["default"] == length.removesuffix(".0")
    finally:
        shaping.close()


def asked(ask: Callable[[], dict[str, Any]]) -> tuple[threading.Thread, list[dict[str, Any]]]:
    answers: list[dict[str, Any]] = []
    thread = threading.Thread(target=lambda: answers.append(ask()))
    thread.start()
    return thread, answers


def test_a_save_does_not_wait_for_what_is_stale(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(process, "STALE", 0.0)
    shaping = Shaping(path, limit=600.0)
    try:
        shaping.picture()
        begun = path.with_name("begun")
        save(shaping, path, f"{KNIFE}\nopen({str(begun)!r}, 'w').close()\nwhile True: pass\n")
        thread, answers = asked(shaping.picture)
        while not begun.exists():
            time.sleep(0.01)
        save(shaping, path, KNIFE)
        thread.join(60.0)
        # The one who asked before the save is told of the knife after it.
        assert [(answer["error"], answer["state"]) for answer in answers] == [(None, shaping.state)]
    finally:
        shaping.close()


@pytest.mark.parametrize(
    "stale",
    [pytest.param(0.0, id="ended and asked again", marks=pytest.mark.long), pytest.param(600.0, id="left alone")],
)
def test_what_is_turned_while_the_script_is_written_stays_turned(
    path: Path, monkeypatch: pytest.MonkeyPatch, stale: float
) -> None:
    monkeypatch.setattr(process, "STALE", stale)
    begun = path.with_name("begun")
    path.write_text(f"{KNIFE}\nimport time\nopen({str(begun)!r}, 'w').close()\ntime.sleep(1.0)\n")
    shaping = Shaping(path)
    try:
        shaping.picture()
        shaping.move({"blade_length": "100"})
        begun.unlink()
        written: list[str] = []
        thread = threading.Thread(target=lambda: written.append(shaping.write()))
        thread.start()
        while not begun.exists():
            time.sleep(0.01)
        shaping.move({"blade_length": "100", "thickness": "4"})
        thread.join(60.0)
        assert written == ["k.py: blade_length: 110.0 becomes 100.0"]
        picture = shaping.picture()
        assert [p["name"] for p in picture["parameters"] if p["moved"]] == ["thickness"]
        assert (dial(picture, "blade_length")["value"], dial(picture, "thickness")["value"]) == ("100", "4")
        assert "blade_length: float = 100.0," in path.read_text()
        assert "thickness: float = 3.5," in path.read_text()
    finally:
        shaping.close()


def test_closing_answers_who_waits_and_leaves_no_process(path: Path) -> None:
    shaping = Shaping(path, limit=600.0)
    save(shaping, path, "while True: pass\n")
    threads = [asked(ask) for ask in (shaping.picture, shaping.judged)]
    for desk in (shaping._drawing, shaping._judging):
        while desk.process._since is None:
            time.sleep(0.01)
    ours = {desk.process.pid for desk in (shaping._drawing, shaping._judging)}
    assert ours <= {child.pid for child in multiprocessing.active_children()}
    shaping.close()
    for thread, answers in threads:
        thread.join(60.0)
        assert answers[0]["error"]
    assert not ours & {child.pid for child in multiprocessing.active_children()}
    assert "not watched" in shaping.picture()["error"]["message"]


@pytest.mark.skipif(sys.platform == "win32", reason="Windows sends Ctrl-C to a console, not to a process")
def test_ctrl_c_is_left_to_the_process_that_was_started_by_hand(shaping: Shaping) -> None:
    for moment in range(3):
        pid = shaping._drawing.process.pid
        assert pid is not None
        os.kill(pid, signal.SIGINT)
        shaping.move({"blade_length": str(100 + moment)})
        assert shaping.picture()["error"] is None
        assert shaping._drawing.process.pid == pid


@pytest.mark.skipif(not hasattr(os, "getpriority"), reason="Windows has no niceness")
def test_who_judges_lets_go_first_who_draws(shaping: Shaping) -> None:
    shaping.picture()
    shaping.judged()
    drawing, judging = (
        os.getpriority(os.PRIO_PROCESS, desk.process.pid or 0) for desk in (shaping._drawing, shaping._judging)
    )
    assert drawing == os.getpriority(os.PRIO_PROCESS, 0)
    assert judging == min(drawing + 10, 19)


def test_a_helper_may_be_saved_twice_in_a_second(shaping: Shaping, script: Path) -> None:
    helper = script.with_name("sizes.py")
    text = "from sizes import LONG\n" + KNIFE.replace("blade_length: float = 110.0", "blade_length: float = LONG")
    for size in ("110.0", "120.0", "130.0"):
        helper.write_text(f"LONG = {size}\n")
        save(shaping, script, text)
        assert dial(shaping.picture(), "blade_length")["default"] == size.removesuffix(".0")
    helper.unlink()
    assert not script.with_name("__pycache__").exists()


def test_a_place_that_is_none_is_refused(shaping: Shaping) -> None:
    for ask in (shaping.sections, shaping.judged):
        with pytest.raises(ParameterError):
            ask((20.0, math.nan))
    assert [section["x"] for section in shaping.sections((20.0, -30.0))["sections"]] == [20.0, -30.0]


def test_an_answer_is_worked_out_once(shaping: Shaping, script: Path) -> None:
    first = shaping.picture()
    script.write_text("1 / 0\n")
    # Nobody has said that it was saved.
    assert shaping.picture() == first
    shaping.saved()
    assert shaping.picture()["error"] is not None


def grown(path: Path, saves: int) -> float:
    """Bytes for each save that a bench holds more after some of them."""
    bench = Bench(path)

    def shaped(number: int) -> None:
        bench.forget()
        assert bench.picture({"thickness": str(3 + 0.01 * number)})["error"] is None
        # What is judged holds most, and takes longest.
        assert number % 10 or bench.judged({}, (20.0,))["error"] is None

    # Until small stores of a fixed size are full.
    for i in range(16):
        shaped(i)
    gc.collect()
    tracemalloc.start()
    try:
        shaped(20)
        gc.collect()
        before, _ = tracemalloc.get_traced_memory()
        for i in range(saves):
            shaped(20 + i)
        gc.collect()
        after, _ = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    return (after - before) / saves


KNIFE_HOLDS = 200_000
"""Bytes of a knife with what follows from it, at least."""


@pytest.mark.parametrize("saves", [8, pytest.param(200, marks=pytest.mark.long)])
def test_memory_is_flat_over_saves(path: Path, saves: int) -> None:
    assert grown(path, saves) < KNIFE_HOLDS / 10


_KILLED = """
import os, sys, threading, time
from pathlib import Path
from bladegeom.watch.process import ScriptProcess

if __name__ == "__main__":
    script = Path(sys.argv[1])
    process = ScriptProcess(script, limit=1.0)
    threading.Thread(target=process.ask, args=(0, "picture", {}), daemon=True).start()
    while not script.with_name("begun").exists():
        time.sleep(0.01)
    os._exit(0)
"""


@pytest.mark.skipif(not PROC.is_dir(), reason="processes are told of by Linux alone")
def test_a_script_that_never_ends_does_not_outlive_a_watch_that_is_killed(tmp_path: Path) -> None:
    (tmp_path / "killed.py").write_text(_KILLED, encoding="utf-8")
    script = tmp_path / "k.py"
    script.write_text(f"open({str(tmp_path / 'begun')!r}, 'w').close()\nwhile True: pass\n", encoding="utf-8")
    watch = subprocess.Popen([sys.executable, str(tmp_path / "killed.py"), str(script)], start_new_session=True)
    try:
        assert watch.wait(60) == 0
        end = time.monotonic() + 30
        while session(watch.pid) and time.monotonic() < end:
            time.sleep(0.05)
        assert session(watch.pid) == []
    finally:
        for pid in session(watch.pid):
            os.kill(pid, signal.SIGKILL)

"""Files are written whole or not at all, under names that every system takes."""

from __future__ import annotations

import contextlib
import errno
import os
import re
import shutil
import signal
import socket
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.cli import main
from bladegeom.quantities.file_errors import ExportError
from bladegeom.writers import exchange
from bladegeom.writers.files import file_stem, write_all

OLD = {"a.txt": b"old a", "c.txt": b"old c"}
NEW = {"a.txt": b"new a", "b.txt": b"new b", "c.txt": b"new c"}


def held(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name, content in OLD.items():
        (tmp_path / name).write_bytes(content)
    return tmp_path


def test_new_files_replace_old_ones_and_nothing_else_is_left(folder: Path) -> None:
    (folder / "other.txt").write_bytes(b"kept")
    assert write_all(folder, NEW) == tuple(folder / name for name in NEW)
    assert held(folder) == {**NEW, "other.txt": b"kept"}
    assert not [path for path in folder.iterdir() if path.is_dir()]


def test_folders_are_made(tmp_path: Path) -> None:
    write_all(tmp_path / "one" / "two", NEW)
    assert held(tmp_path / "one" / "two") == NEW


def test_files_can_be_read_by_others(tmp_path: Path) -> None:
    (path,) = write_all(tmp_path, {"a.txt": b""})
    (tmp_path / "plain").write_bytes(b"")
    assert path.stat().st_mode == (tmp_path / "plain").stat().st_mode


@pytest.mark.parametrize("nth", range(1, 6))
def test_failing_to_put_a_file_in_place_leaves_the_old_ones(
    folder: Path, nth: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    replace, calls = Path.replace, 0

    def failing(self: Path, target: Path) -> Path:
        nonlocal calls
        calls += 1
        if calls == nth:
            raise OSError(errno.EIO, "Input/output error")
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", failing)
    # Five moves: two old files aside, three new ones in place.
    with pytest.raises(ExportError, match="Input/output error"):
        write_all(folder, NEW)
    assert held(folder) == OLD
    assert len(list(folder.iterdir())) == len(OLD)


def test_what_cannot_be_put_back_is_kept_and_told_and_put_back_by_the_next(folder: Path) -> None:
    def failing(self: Path, target: Path) -> Path:
        if target.parent == folder:
            raise OSError(errno.EIO, "Input/output error")
        return real(self, target)

    real = Path.replace
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Path, "replace", failing)
        with pytest.raises(ExportError, match="nor can what stood there be put back"):
            write_all(folder, NEW)
    write_all(folder, {"next.txt": b"next"})
    assert held(folder) == {**OLD, "next.txt": b"next"}


@pytest.mark.parametrize("nth", range(1, 6))
def test_a_link_that_stood_there_is_put_back(folder: Path, nth: int, monkeypatch: pytest.MonkeyPatch) -> None:
    (folder / "a.txt").rename(folder / "real.txt")
    (folder / "a.txt").symlink_to("real.txt")
    real, calls = Path.replace, 0

    def failing(self: Path, target: Path) -> Path:
        nonlocal calls
        calls += 1
        if calls == nth:
            raise OSError(errno.EIO, "Input/output error")
        return real(self, target)

    monkeypatch.setattr(Path, "replace", failing)
    with pytest.raises(ExportError, match="Input/output error"):
        write_all(folder, NEW)
    assert (folder / "a.txt").readlink() == Path("real.txt")
    assert held(folder) == {**OLD, "real.txt": OLD["a.txt"]}


def test_a_program_killed_while_it_clears_up_leaves_nothing_for_good(folder: Path) -> None:
    child = os.fork()
    if not child:
        unlink, gone = os.unlink, []

        def dying(path: str, **named: int) -> None:
            unlink(path, **named)
            gone.append(path)
            if len(gone) == 1:
                os._exit(9)

        with pytest.MonkeyPatch.context() as patch:
            # As they may come from a disk: the mark that all is done first.
            patch.setattr(os, "scandir", lambda where: contextlib.nullcontext(sorted(scandir(where), key=_done_first)))
            patch.setattr(os, "unlink", dying)
            write_all(folder, NEW)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    assert os.waitstatus_to_exitcode(status) == 9
    write_all(folder, {"next.txt": b"next"})
    assert held(folder) == {**NEW, "next.txt": b"next"}
    assert not [path for path in folder.iterdir() if path.is_dir()]


scandir = os.scandir


def _done_first(entry: os.DirEntry[str]) -> bool:
    return entry.name != "done"


def test_a_full_disk_leaves_the_old_files(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write = Path.write_bytes

    def full(self: Path, data: bytes) -> int:
        if self.name == "c.txt":
            raise OSError(errno.ENOSPC, "No space left on device")
        return write(self, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(ExportError, match="No space left on device"):
        write_all(folder, NEW)
    assert held(folder) == OLD
    assert len(list(folder.iterdir())) == len(OLD)


def test_stopping_in_the_middle_leaves_the_old_files(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    replace = Path.replace

    def stopped(self: Path, target: Path) -> Path:
        if self.parent.name == "new" and self.name == "c.txt":
            raise KeyboardInterrupt
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", stopped)
    with pytest.raises(KeyboardInterrupt):
        write_all(folder, NEW)
    assert held(folder) == OLD


ENDING = [signal.SIGINT, signal.SIGTERM, signal.SIGHUP]


class Operations:
    """Every operation on files counts, and does something first at one of them."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, nth: int, does: Callable[[], object]) -> None:
        self.count = 0
        for owner, name in (
            *((Path, name) for name in ("replace", "write_bytes", "write_text", "mkdir", "unlink", "exists")),
            (shutil, "rmtree"),
            (tempfile, "mkdtemp"),
        ):
            monkeypatch.setattr(owner, name, self.counted(getattr(owner, name), nth, does))

    def counted(self, real: Callable[..., Any], nth: int, does: Callable[[], object]) -> Callable[..., Any]:
        def operation(*rest: Any, **named: Any) -> Any:
            self.count += 1
            if self.count == nth:
                does()
            return real(*rest, **named)

        return operation


def operations_of_a_write(folder: Path) -> int:
    with pytest.MonkeyPatch.context() as patch:
        counted = Operations(patch, 0, list)
        write_all(folder, OLD)
    return counted.count


class Told(BaseException):
    """A signal has been handled."""


@pytest.mark.parametrize("number", ENDING)
def test_a_signal_waits_until_all_files_are_in_place(folder: Path, number: int) -> None:
    def told(*_: object) -> None:
        raise Told

    before = signal.signal(number, told)
    try:
        count = operations_of_a_write(folder)
        assert count > 12
        for nth in range(1, count + 1):
            write_all(folder, OLD)
            (folder / "b.txt").unlink(missing_ok=True)
            with pytest.MonkeyPatch.context() as patch:
                Operations(patch, nth, lambda: signal.raise_signal(number))
                with pytest.raises(Told):
                    write_all(folder, NEW)
            # Before anything is made ready a signal is as good as one that came earlier.
            assert held(folder) in (OLD, NEW), nth
            assert len(list(folder.iterdir())) == len(held(folder))
            assert signal.getsignal(number) is told
        assert held(folder) == NEW
    finally:
        signal.signal(number, before)


def test_what_is_ignored_stays_ignored(folder: Path) -> None:
    before = signal.signal(signal.SIGHUP, signal.SIG_IGN)
    try:
        with pytest.MonkeyPatch.context() as patch:
            Operations(patch, 9, lambda: signal.raise_signal(signal.SIGHUP))
            write_all(folder, NEW)
        assert held(folder) == NEW
    finally:
        signal.signal(signal.SIGHUP, before)


@pytest.mark.parametrize("nth", range(1, 27))
def test_what_a_killed_program_left_is_put_right_by_the_next(folder: Path, nth: int) -> None:
    child = os.fork()
    if not child:
        with pytest.MonkeyPatch.context() as patch:
            Operations(patch, nth, lambda: os._exit(9))
            write_all(folder, NEW)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    assert os.waitstatus_to_exitcode(status) in (0, 9)
    assert write_all(folder, {"next.txt": b"next"})
    now = held(folder)
    assert now.pop("next.txt") == b"next"
    assert now in (OLD, NEW)
    assert len(list(folder.iterdir())) == len(now) + 1


def test_every_operation_of_a_write_is_tried(folder: Path) -> None:
    with pytest.MonkeyPatch.context() as patch:
        counted = Operations(patch, 0, list)
        write_all(folder, NEW)
    assert 20 <= counted.count <= 26


def test_two_programs_do_not_write_to_one_folder_at_a_time(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(exchange, "_PATIENCE", 0.2)
    handle = os.open(folder, os.O_RDONLY)
    assert exchange.locked(handle)
    with pytest.raises(ExportError, match=r"another bladegeom has been writing to .*: wait until it is done"):
        write_all(folder, NEW)
    assert held(folder) == OLD
    os.close(handle)
    write_all(folder, NEW)
    assert held(folder) == NEW


def test_a_file_system_without_locks_is_written_to(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_locks(*_: object) -> None:
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr("fcntl.flock", no_locks)
    left = folder / ".bladegeom-another"
    (left / "new").mkdir(parents=True)
    write_all(folder, NEW)
    assert held(folder) == NEW
    # Whoever made it may be at work still.
    assert left.is_dir()


def test_many_writers_never_mix_their_files(tmp_path: Path) -> None:
    """Each writes three files of its own; whoever looks between two of them finds those of one writer."""
    children = []
    for writer in range(6):
        if not (child := os.fork()):
            for _ in range(10):
                write_all(tmp_path, dict.fromkeys(("a.txt", "b.txt", "c.txt"), b"%d" % writer))
            os._exit(0)
        children.append(child)
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0] * 6
    assert len(set(held(tmp_path).values())) == 1
    assert len(list(tmp_path.iterdir())) == 3


def test_a_folder_of_somebody_else_is_left_alone(folder: Path) -> None:
    (folder / ".export-mine").mkdir()
    (folder / ".bladegeom-note").write_text("mine")
    (folder / ".bladegeom-notes").mkdir()
    (folder / ".bladegeom-notes" / "mine.txt").write_text("mine")
    write_all(folder, NEW)
    assert (folder / ".export-mine").is_dir()
    assert (folder / ".bladegeom-note").read_text() == "mine"
    assert (folder / ".bladegeom-notes" / "mine.txt").read_text() == "mine"


def test_a_folder_of_the_maker_s_own_with_an_old_one_in_it_is_left_alone(folder: Path) -> None:
    """A copy kept by hand, whatever it is called: without a journal nothing of ours lies under that name."""
    for name in ("old", "new"):
        (folder / ".bladegeom-backup" / name).mkdir(parents=True)
        (folder / ".bladegeom-backup" / name / "handle.svg").write_text("two hours")
    (folder / ".bladegeom-links").mkdir()
    (folder / ".bladegeom-links" / "new").symlink_to(folder / ".bladegeom-backup")
    write_all(folder, NEW)
    assert (folder / ".bladegeom-backup" / "old" / "handle.svg").read_text() == "two hours"
    assert (folder / ".bladegeom-links" / "new" / "new" / "handle.svg").read_text() == "two hours"


@pytest.mark.parametrize(
    "journal",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b"\xff",
        b'{"a.txt": 1}',
        b"[" * 100_000,
        *(b'{"%s": false}' % name for name in (b"../kept.txt", b"/etc/none", b".", b"..", b"", b"a\\u0000b")),
    ],
)
def test_a_journal_that_is_spoiled_is_told_and_nothing_is_moved(tmp_path: Path, journal: bytes) -> None:
    """A power cut leaves an empty one; and a folder that came from somebody else may hold anything."""
    (tmp_path / "kept.txt").write_bytes(b"kept")
    (folder := tmp_path / "out").mkdir()
    (left := folder / ".bladegeom-a1b2c3d4").mkdir()
    (left / "old").mkdir()
    (left / "old" / "a.txt").write_bytes(b"old a")
    (left / "journal").write_bytes(journal)
    with pytest.raises(
        ExportError, match=r"its journal is spoiled; nothing was written: take what you miss out of .*old"
    ):
        write_all(folder, NEW)
    assert held(tmp_path) == {"kept.txt": b"kept"}
    assert held(folder) == {}
    assert held(left / "old") == {"a.txt": b"old a"}


def test_a_pipe_in_place_of_a_journal_is_not_waited_for(folder: Path) -> None:
    (folder / ".bladegeom-a1b2c3d4").mkdir()
    os.mkfifo(folder / ".bladegeom-a1b2c3d4" / "journal")
    with pytest.raises(ExportError, match="it is a pipe"):
        write_all(folder, NEW)
    assert held(folder) == OLD


def test_a_folder_in_the_way_of_a_file(folder: Path) -> None:
    (folder / "b.txt").mkdir()
    (folder / "b.txt" / "inside").write_bytes(b"kept")
    with pytest.raises(ExportError, match=r"b\.txt is a folder"):
        write_all(folder, NEW)
    assert held(folder) == OLD
    assert held(folder / "b.txt") == {"inside": b"kept"}


def test_a_file_in_the_way_of_the_folder(folder: Path) -> None:
    with pytest.raises(ExportError, match=r"a\.txt: there is a file"):
        write_all(folder / "a.txt", NEW)
    with pytest.raises(ExportError, match="deeper: Not a directory"):
        write_all(folder / "a.txt" / "deeper", NEW)
    assert held(folder) == OLD


def test_an_unwritable_folder(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # Whoever runs the tests may be allowed to write everywhere.
    def denied(*_args: object, **_more: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Path, "mkdir", denied)
    with pytest.raises(ExportError, match="Permission denied") as caught:
        write_all(folder / "new", NEW)
    # ExportError is an OSError too, for callers that expect one.
    assert isinstance(caught.value, OSError)


@pytest.mark.parametrize(
    ("name", "revision", "stem"),
    [
        ("Rigging knife", "B", "rigging-knife_rev-B"),
        ('Tom & "Jerry" <b>', "A", "tom-jerry-b_rev-A"),
        ("K\u00fcchenmesser", "\u00c92.1", "kuchenmesser_rev-E2.1"),
        ("\u5305\u4e01", "", "knife_rev-0"),
        ("../../etc/passwd", "../x", "etc-passwd_rev-..-x"),
        ("  ", "a b/c", "knife_rev-a-b-c"),
        ("x" * 300, "A", "x" * 60 + "_rev-A"),
    ],
)
def test_odd_names_make_plain_file_names(name: str, revision: str, stem: str) -> None:
    assert file_stem(name, revision) == stem


@given(st.text(), st.text())
def test_any_name_makes_a_file_name_for_every_system(name: str, revision: str) -> None:
    stem = file_stem(name, revision)
    assert re.fullmatch(r"[a-z0-9][a-z0-9-]*_rev-[A-Za-z0-9.-]+", stem)
    # Room for what follows, below the 255 bytes that file systems take.
    assert len(stem) < 150


def in_the_way(path: Path, kind: str) -> None:
    """Something that is no file of ours, in a file's place."""
    if kind == "folder":
        path.mkdir()
    elif kind == "pipe":
        os.mkfifo(path)
    elif kind == "socket":
        with socket.socket(socket.AF_UNIX) as listener:
            listener.bind(str(path))
    elif kind == "device":
        path.symlink_to("/dev/null")
    elif kind == "link out":
        (path.parent.parent / "elsewhere.csv").write_text("kept")
        path.symlink_to(path.parent.parent / "elsewhere.csv")
    elif kind == "another kind":
        path.write_bytes(b"%PDF-1.4 kept")


@pytest.mark.parametrize("kind", ["folder", "pipe", "socket", "device", "link out", "another kind"])
def test_what_is_no_plain_file_of_its_kind_stays(
    tmp_path: Path, kind: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "in"
    folder.mkdir()
    # A socket's name may have few letters only: from within the folder it is short.
    monkeypatch.chdir(folder)
    in_the_way(Path("a.csv") if kind == "socket" else folder / "a.csv", kind)
    before = Path("a.csv").lstat()
    with pytest.raises(ExportError, match=r"a\.csv"):
        write_all(Path(), {"b.csv": b"new", "a.csv": b"new"})
    Path("knife.py").write_text("import specimens\n\ndef design(thickness=3.0):\n    return specimens.drop_point()\n")
    monkeypatch.syspath_prepend(str(Path(__file__).parent))
    assert main(["sweep", "knife.py", "thickness=3:4:1", "--out", "a.csv", "--jobs", "1"]) == 2
    assert "a.csv" in capsys.readouterr().err
    after = Path("a.csv").lstat()
    assert (before.st_ino, before.st_mode, before.st_mtime_ns) == (after.st_ino, after.st_mode, after.st_mtime_ns)
    assert sorted(path.name for path in folder.iterdir() if path.name != "__pycache__") == ["a.csv", "knife.py"]


def test_a_link_within_the_folder_and_an_empty_file_are_replaced(tmp_path: Path) -> None:
    (tmp_path / "kept.txt").write_text("kept")
    (tmp_path / "a.txt").symlink_to("kept.txt")
    (tmp_path / "b.pdf").write_bytes(b"")
    write_all(tmp_path, {"a.txt": b"new", "b.pdf": b"%PDF-1.4"})
    assert held(tmp_path) == {"a.txt": b"new", "b.pdf": b"%PDF-1.4", "kept.txt": b"kept"}


@pytest.mark.parametrize(("target", "words"), [("a.txt", "leads nowhere"), ("gone.txt", "leads nowhere")])
def test_links_in_a_circle_or_to_nothing_are_told(tmp_path: Path, target: str, words: str) -> None:
    """The first link leads to itself, the second to what is not there; neither is an error of the program."""
    (tmp_path / "a.txt").symlink_to(target)
    with pytest.raises(ExportError, match=words) as caught:
        write_all(tmp_path, {"a.txt": b"new"})
    assert str(caught.value).count("a.txt") == 1
    assert (tmp_path / "a.txt").is_symlink()


def test_what_is_in_the_way_is_told_once(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a.txt")
    with pytest.raises(ExportError) as caught:
        write_all(tmp_path, {"a.txt": b"new"})
    assert str(caught.value).count("a.txt") == 1


@pytest.mark.parametrize(
    ("there", "new", "told"),
    [
        (b"my own words\n", b"\x89PNG\r\n\x1a\n\0", "holds text, not a picture (PNG)"),
        (b"\x89PNG\r\n\x1a\n\0", b"my own words\n", "holds a picture (PNG), not text"),
        (b"glTF\2\0\0\0", b"PK\3\4\0", "holds a GLB, not an archive (ZIP, 3MF)"),
        (b"a solid\0\0\0", b"PK\3\4\0", "holds bytes that are no text, not an archive (ZIP, 3MF)"),
    ],
)
def test_pictures_and_solids_replace_their_own_kind_alone(tmp_path: Path, there: bytes, new: bytes, told: str) -> None:
    (tmp_path / "a").write_bytes(there)
    with pytest.raises(ExportError) as caught:
        write_all(tmp_path, {"a": new})
    assert told in str(caught.value)
    assert held(tmp_path) == {"a": there}
    write_all(tmp_path, {"a": there + b"more"})

"""The command ``bladegeom watch`` as a maker starts it, and every process that belongs to it."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

PATIENCE = 30.0

PROC = Path("/proc")
"""Where Linux tells of processes."""

STOPPED = 130
"""Exit status after Ctrl-C; source: POSIX shells, 128 and the number of the signal."""

COMMAND = (sys.executable, "-m", "bladegeom", "watch")


@dataclass(frozen=True)
class Watch:
    """A watch that runs, in a session of its own as under a terminal."""

    process: subprocess.Popen[str]
    address: str

    @property
    def port(self) -> int:
        """That it listens on."""
        found = re.fullmatch(r"http://127\.0\.0\.1:(\d+)/[\w-]{32}/", self.address)
        assert found, self.address
        return int(found[1])

    def hears(self, number: int) -> None:
        """To all processes of the terminal, as Ctrl-C sends it."""
        os.killpg(self.process.pid, number)

    def end(self, number: int = signal.SIGINT) -> tuple[int, str, str]:
        """Its exit status, and what it said after the address."""
        self.hears(number)
        out, err = self.process.communicate(timeout=PATIENCE)
        return self.process.returncode, out, err

    def processes(self) -> list[int]:
        """Of its session."""
        return session(self.process.pid)

    def memory(self) -> float:
        """Held by all of its processes together, MB; what they share counts for each."""
        pages = [int((PROC / str(pid) / "statm").read_text().split()[1]) for pid in self.processes()]
        return sum(pages) * os.sysconf("SC_PAGE_SIZE") / 1e6


def session(leader: int) -> list[int]:
    """Processes that live in a session; one that is ended and not yet waited for is none."""
    found = []
    for folder in PROC.glob("[0-9]*"):
        with contextlib.suppress(OSError):
            # The name in brackets may hold anything.
            state, _, _, own, *_ = (folder / "stat").read_text().rpartition(")")[2].split()
            if int(own) == leader and state != "Z":
                found.append(int(folder.name))
    return sorted(found)


def left_over(leader: int) -> list[int]:
    """Processes of a session that stay; one that sees its pipe closed and ends is given the moment it takes."""
    end = time.monotonic() + PATIENCE
    while session(leader) and time.monotonic() < end:
        time.sleep(0.05)
    return session(leader)


@contextlib.contextmanager
def watching(*arguments: str | Path, browser: str = "") -> Iterator[Watch]:
    """The command, from its address until it is ended; what is left of it afterwards is killed.

    Args:
        arguments: Of the command.
        browser: The program that opens pages, with %s for the address.
    """
    process = subprocess.Popen(
        [*COMMAND, *map(str, arguments)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        env=os.environ | {"BROWSER": browser},
    )
    try:
        assert process.stdout is not None
        address, hint = process.stdout.readline().strip(), process.stdout.readline()
        assert hint == "Open it in a browser on this machine; Ctrl-C ends it.\n"
        yield Watch(process=process, address=address)
        if process.poll() is None:
            process.send_signal(signal.SIGINT)
            process.communicate(timeout=PATIENCE)
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait(timeout=PATIENCE)
        for stream in (process.stdout, process.stderr):
            assert stream is not None
            stream.close()

"""A watch from its start to the first picture, and ended again: python benchmarks/watch_start.py SCRIPT.

Prints nothing; against_before.py tells what all its processes take.
"""

from __future__ import annotations

import signal
import subprocess
import sys
from urllib.request import urlopen

STOPPED = 130
"""Exit status after Ctrl-C; source: POSIX shells, 128 and the number of the signal."""

_FAILED = 2
"""1 would tell of findings."""


def main() -> None:
    """Start, look once, and stop."""
    with subprocess.Popen([sys.executable, "-m", "bladegeom", "watch", sys.argv[1]], stdout=subprocess.PIPE) as watch:
        assert watch.stdout is not None
        address = watch.stdout.readline().decode().strip()
        if not address:
            sys.exit(_FAILED)
        try:
            with urlopen(f"{address}0/picture") as answer:
                answer.read()
        finally:
            watch.send_signal(signal.SIGINT)
            watch.communicate()
    if watch.returncode != STOPPED:
        sys.exit(_FAILED)


if __name__ == "__main__":
    main()

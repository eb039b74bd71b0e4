"""``python -m bladegeom`` and ``bladegeom`` are the command line."""

import sys


def run() -> int:
    """The command line as a program of its own, which Ctrl-C stops in one line while it is being read, too."""
    try:
        from bladegeom.cli import main  # noqa: PLC0415

        status = main()
        import signal  # noqa: PLC0415

        # All is done and said: there is nothing left to stop.
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    except KeyboardInterrupt:
        sys.stderr.write("bladegeom: stopped\n")
        return 130
    return status


if __name__ == "__main__":
    sys.exit(run())

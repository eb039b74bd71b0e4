"""The command ``new``: a script to start from."""

from __future__ import annotations

import argparse
from pathlib import Path

from bladegeom.cli.tell import tell
from bladegeom.commands.starter import starter_script
from bladegeom.quantities.file_errors import ExportError
from bladegeom.writers.files import write_all


def new_command(options: argparse.Namespace) -> int:
    """Write a script to start from."""
    path: Path = options.script
    if path.name in ("", ".."):
        raise ExportError(f"'{path}' is a folder; name the script to write, for example {path / 'knife.py'}")
    if path.suffix != ".py":
        path = path.with_name(path.name + ".py")
    if not path.name.isprintable() or set(path.name) & set("\"'\\"):
        raise ExportError(f"{path.name!r} makes a poor file name; choose one without quotes and backslashes")
    if path.exists():
        raise ExportError(f"{path} exists already and is left as it is; choose another name")
    text = starter_script(path.stem, blade=options.blade, handle=options.handle)
    write_all(path.parent, {path.name: text.encode()})
    tell(f"{path} written; now try: bladegeom check {path}")
    return 0

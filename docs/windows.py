"""What a command for a Unix shell is in PowerShell: it is written once, and the tab for Windows follows from it."""

from __future__ import annotations

import re
import shlex

_PLAIN = re.compile(r"[\w./\\:=+~-]+")
"""PowerShell reads a comma, a bracket, an @ or a # in its own way: whatever is not plain is quoted."""


def powershell(command: str) -> str:
    """The same command with the same arguments, one line for each part between ``&&``, which older PowerShells lack.

    A virtual environment's programs lie in ``Scripts`` there, and Python is started by ``py``.
    """
    return "\n".join(_line(part.strip()) for part in command.split(" && "))


def _line(command: str) -> str:
    program, *arguments = shlex.split(command)
    if program == "python3":
        program = "py"
    elif program.startswith(".venv/bin/"):
        program = ".venv\\Scripts\\" + program.removeprefix(".venv/bin/")
    return " ".join([program, *map(_quoted, arguments)])


def _quoted(argument: str) -> str:
    if _PLAIN.fullmatch(argument):
        return argument
    escaped = argument.replace("'", "''")
    return f"'{escaped}'"

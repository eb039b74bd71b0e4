"""A script's design on its way to worker processes, and a mark that tells whether it is still the same."""

from __future__ import annotations

import hashlib
import threading
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from bladegeom import profiles
from bladegeom.design.script import Script, load_script
from bladegeom.knife.knife import Knife
from bladegeom.quantities.stockroom import SHELVES, stocked, stockroom_open
from bladegeom.settings.settings import Settings, settings_in_force

_MARK = 12
"""Letters of the checksum; own choice."""

_ONE_AT_A_TIME = threading.Lock()
"""A script is run with its folder on the path of imports, which all threads of a process share."""

_read = cache(load_script)


@dataclass(frozen=True)
class ScriptDesign:
    """The design of a script as a function that can be sent to a worker process, which reads the script itself, once.

    Args:
        path: The script; a worker must find it there.
        settings: That hold while it runs.
    """

    path: Path
    settings: Settings = field(default_factory=settings_in_force)

    def __call__(self, **parameters: object) -> Knife:
        """The knife with some parameters set.

        Raises:
            ScriptError: The script or its design fails; its own line is named.
        """
        with _ONE_AT_A_TIME:
            return _read(self.path, self.settings).knife(parameters)[0]


def source_checksum(script: Script) -> str:
    """A checksum over the script, its settings, the stockroom, the modules beside it that it imported, and bladegeom.

    What a design reads or imports only while it is called is not in it.
    """
    own = [Path(profiles.__file__).parents[1], *map(Path, profiles.__path__)]
    library = {path for folder in own for ending in ("*.py", "*.csv") for path in folder.rglob(ending)}
    files = [getattr(module, "__file__", None) for module in script.folder.modules.values()]
    beside = {Path(file) for file in files if file}
    mark = hashlib.sha256()
    with stockroom_open(script.settings.stockroom):
        # A pipe would be waited for; whoever names it is told.
        own_things = [file.path for file in stocked(*SHELVES) if file.path.is_file()]
    for path in (*sorted(library), *sorted(beside), *own_things):
        mark.update(hashlib.sha256(path.read_bytes()).digest())
    mark.update(repr(script.settings.decisive).encode())
    return mark.hexdigest()[:_MARK]

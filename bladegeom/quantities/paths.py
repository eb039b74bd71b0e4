"""Names of files as a maker writes them."""

from __future__ import annotations

import os
from pathlib import Path

from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.told import told


def path_of(what: str, value: object) -> Path:
    """A text or a path as a path.

    Args:
        what: Is asked for it, such as "export".
        value: As it is written.

    Raises:
        ParameterError: It is neither.

    >>> path_of("export", "out").name
    'out'
    """
    if not isinstance(value, str | os.PathLike) or not str(value):
        must = "be the name of a file or a folder, such as 'out/knife.pdf'"
        raise ParameterError(f"{what}: path", value, must, shown=told(value))
    return Path(value)


def order_file(script: Path) -> Path:
    """Where the order of a script lies, if it lies beside it.

    >>> order_file(Path("petty.py")).name
    'petty.order.toml'
    """
    return script.with_name(f"{script.stem}.order.toml")


def agreed_file(script: Path) -> Path:
    """Where what was agreed with the customer lies, beside the script and its order.

    >>> agreed_file(Path("petty.py")).name
    'petty.agreed.toml'
    """
    return script.with_name(f"{script.stem}.agreed.toml")

"""What a maker starts from: the script that ``bladegeom new`` writes, and the price list of ``quote --starter``.

Their texts are the files in ``templates``; every number in the price list is invented, and it says so.
"""

from __future__ import annotations

import shlex
from importlib.resources import files
from typing import Final, NamedTuple

from jinja2 import StrictUndefined, Template

from bladegeom import profiles
from bladegeom.quantities.errors import UnknownNameError


class _Start(NamedTuple):
    """With what a script begins: mm, degrees, a count, and the name of a drill."""

    thickness: float
    bevel_height: float
    edge_thickness: float
    rough_edge: float | None
    sharpen_deg: float
    fasteners: int
    drill: str


_STARTS: Final = {
    # Source: common practice, no source
    "chef": _Start(2.5, 40.0, 0.25, 0.6, 13.0, 3, "3/16"),
    "petty": _Start(2.0, 26.0, 0.20, None, 13.0, 2, "3/16"),
    "flat_kitchen": _Start(2.2, 38.0, 0.20, 0.5, 13.0, 3, "3/16"),
    "paring": _Start(1.8, 18.0, 0.20, None, 13.0, 2, "1/8"),
    "boning": _Start(1.8, 19.0, 0.25, None, 14.0, 2, "5/32"),
    "cleaver": _Start(4.0, 40.0, 0.40, 0.8, 18.0, 3, "1/4"),
    "chopper": _Start(5.5, 28.0, 0.70, 1.2, 22.0, 3, "1/4"),
    "skinner": _Start(3.2, 22.0, 0.35, 0.7, 17.0, 2, "1/4"),
}
_NARROW: Final = {"finger_choil": {"1/4": "3/16", "3/16": "1/8"}, "waisted": {"1/4": "3/16"}}
"""Over a notch or a waist there is room for smaller fasteners only."""

_OTHER_START: Final = _Start(3.5, 17.0, 0.40, 0.8, 18.0, 2, "1/4")


def starter_script(stem: str, *, blade: str, handle: str) -> str:
    """A script for a blade and a handle profile.

    Raises:
        UnknownNameError: No such profile, or it is of the other half.

    >>> text = starter_script("galley", blade="petty", handle="straight")
    >>> "def design(" in text, "from bladegeom.profiles.petty import Petty" in text
    (True, True)
    """
    blade_class, handle_class = profiles.get(blade), profiles.get(handle)
    for profile, name, wanted in ((blade_class, blade, "blade"), (handle_class, handle, "handle")):
        if profiles.half(profile) != wanted:
            fitting = (n for n in profiles.names() if profiles.half(profiles.get(n)) == wanted)
            raise UnknownNameError(f"{wanted} profile", name, fitting)
    blade_name, handle_name = (half.__module__.rpartition(".")[2] for half in (blade_class, handle_class))
    start = _STARTS.get(blade_name, _OTHER_START)
    template = Template(_text("script.py.j2"), undefined=StrictUndefined, keep_trailing_newline=True)
    return str(
        template.render(
            title=stem.replace("_", " ").replace("-", " ").strip().capitalize() or "Knife",
            file=shlex.quote(f"{stem}.py"),
            blade=blade_class,
            blade_name=blade_name,
            handle=handle_class,
            handle_name=handle_name,
            hidden=getattr(handle_class, "hidden", False),
            start=start,
            drill=_NARROW.get(handle_name, {}).get(start.drill, start.drill),
        )
    )


def starter_prices() -> str:
    """A price list as TOML.

    >>> starter_prices().splitlines()[0][:33]
    '# A price list to start from. EVE'
    """
    return _text("prices.toml")


def _text(name: str) -> str:
    return (files("bladegeom.commands") / "templates" / name).read_text(encoding="utf-8")

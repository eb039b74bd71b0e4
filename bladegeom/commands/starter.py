"""What a maker starts from: the script that ``bladegeom new`` writes, and the price list of ``quote --starter``.

Their texts are the files in ``templates``; every number in the price list is invented, and it says so.
"""

from __future__ import annotations

import shlex
from collections.abc import Mapping
from importlib.resources import files

from jinja2 import StrictUndefined, Template

from bladegeom import profiles
from bladegeom.outline.starting_sizes import StartingSizes
from bladegeom.quantities.errors import UnknownNameError


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
            fitting = (each.name for each in profiles.listed() if each.half == wanted)
            raise UnknownNameError(f"{wanted} profile", name, fitting, near=())
    blade_name, handle_name = (profiles.name_of(half) for half in (blade_class, handle_class))
    start: StartingSizes = getattr(blade_class, "starting_sizes", StartingSizes())
    smaller: Mapping[str, str] = getattr(handle_class, "smaller_drills", {})
    template = Template(_text("script.py.j2"), undefined=StrictUndefined, keep_trailing_newline=True)
    return str(
        template.render(
            title=stem.replace("_", " ").replace("-", " ").strip().capitalize() or "Knife",
            file=shlex.quote(f"{stem}.py"),
            blade=blade_class,
            blade_name=blade_name,
            handle=handle_class,
            handle_name=handle_name,
            imports=_imports(blade_class, handle_class),
            hidden=getattr(handle_class, "hidden", False),
            start=start,
            drill=smaller.get(start.drill, start.drill),
        )
    )


def _imports(*halves: type) -> str:
    """The lines that bring the profiles; those of the maker's own are fetched below the others."""
    lines = sorted(map(profiles.import_line, halves), key=lambda line: " = " in line)
    own = [line for line in lines if " = " in line]
    if not own:
        return "\n".join(lines)
    brought = ["from bladegeom import profiles", *(line for line in lines if line not in own)]
    return "\n".join([*brought, "", *own])


def starter_prices() -> str:
    """A price list as TOML.

    >>> starter_prices().splitlines()[0][:33]
    '# A price list to start from. EVE'
    """
    return _text("prices.toml")


def _text(name: str) -> str:
    return (files("bladegeom.commands") / "templates" / name).read_text(encoding="utf-8")

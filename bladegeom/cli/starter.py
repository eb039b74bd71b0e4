"""The script that ``bladegeom new`` writes."""

from __future__ import annotations

import shlex

from bladegeom import profiles
from bladegeom.quantities.errors import UnknownNameError

_TEXT = '''\
"""{title}: change the numbers, then run

    bladegeom check {file}
    bladegeom export {file}

Lengths are mm; inch(0.25), inch("3/16") and length("1-1/4 in") read other units.
"""

{imports}
from {blade_module} import {blade}
from {handle_module} import {handle}


def design(
    blade_length: float = {blade_length:.1f},
    handle_length: float = {handle_length:.1f},
    thickness: float = {thickness:.1f},
    bevel_height: float = {bevel_height:.1f},
    edge_thickness: float = {edge:.2f},
    steel: str = "1.4116",
) -> Knife:
    # 'bladegeom profiles {blade_name}' and 'bladegeom profiles {handle_name}' list every parameter with its range.
    outline = join_halves({blade}(blade_length=blade_length), {handle}(length=handle_length))
    {assigned} Knife(
        name="{title}",
        revision="A",
        outline=outline,
        stock=Stock(steel=steel, thickness=thickness),
        grind=Grind(
            bevel=FlatBevel(height=bevel_height, edge_thickness=edge_thickness),
            plunge=Plunge(x=outline.heel[0], lean_deg=0.0, radius=3.0),
            rough_edge={rough},  # thickness of the edge in the quench; None hardens the blade unground
            sharpen_deg={sharpen:.1f},
        ),
{handle_lines}'''

_FULL = """\
        scales=Scales(slab="NEMA L", thickness=7.0),
    )
    knife = add_fasteners(knife, Pin(rod="C26000", diameter=inch("{drill}")), count={fasteners})
    return add_lightening_row(knife)
"""

_FULL_IMPORTS = """\
from bladegeom import FlatBevel, Grind, Knife, Pin, Plunge, Scales, Stock
from bladegeom import add_fasteners, add_lightening_row, inch, join_halves"""

_HIDDEN = """\
        # The tang hides in a handle block, which is not part of the design: neither weighed nor checked.
    )
"""

_HIDDEN_IMPORTS = "from bladegeom import FlatBevel, Grind, Knife, Plunge, Stock, join_halves"

_STARTS = {
    # thickness, bevel height, edge thickness, rough edge, sharpening angle, fasteners, their drill
    # Source: common practice, no source
    "chef": (2.5, 40.0, 0.25, 0.6, 13.0, 3, "3/16"),
    "petty": (2.0, 26.0, 0.20, None, 13.0, 2, "3/16"),
    "flat_kitchen": (2.2, 38.0, 0.20, 0.5, 13.0, 3, "3/16"),
    "paring": (1.8, 18.0, 0.20, None, 13.0, 2, "1/8"),
    "boning": (1.8, 19.0, 0.25, None, 14.0, 2, "5/32"),
    "cleaver": (4.0, 40.0, 0.40, 0.8, 18.0, 3, "1/4"),
    "chopper": (5.5, 28.0, 0.70, 1.2, 22.0, 3, "1/4"),
    "skinner": (3.2, 22.0, 0.35, 0.7, 17.0, 2, "1/4"),
}
_NARROW = {"finger_choil": {"1/4": "3/16", "3/16": "1/8"}, "waisted": {"1/4": "3/16"}}
"""Over a notch or a waist there is room for smaller fasteners only."""

_OTHER_START = (3.5, 17.0, 0.40, 0.8, 18.0, 2, "1/4")


def starter_script(stem: str, *, blade: str, handle: str) -> str:
    """A script for a blade and a handle profile.

    Raises:
        UnknownNameError: No such profile, or it is of the other half.
    """
    blade_class, handle_class = profiles.get(blade), profiles.get(handle)
    for profile, name, wanted in ((blade_class, blade, "blade"), (handle_class, handle, "handle")):
        if profiles.half(profile) != wanted:
            fitting = (n for n in profiles.names() if profiles.half(profiles.get(n)) == wanted)
            raise UnknownNameError(f"{wanted} profile", name, fitting)
    blade_name = blade_class.__module__.rpartition(".")[2]
    title = stem.replace("_", " ").replace("-", " ").strip().capitalize() or "Knife"
    thickness, bevel_height, edge, rough, sharpen, fasteners, drill = _STARTS.get(blade_name, _OTHER_START)
    handle_name = handle_class.__module__.rpartition(".")[2]
    drill = _NARROW.get(handle_name, {}).get(drill, drill)
    if getattr(handle_class, "hidden", False):
        handle_text = {"imports": _HIDDEN_IMPORTS, "assigned": "return", "handle_lines": _HIDDEN}
    else:
        lines = _FULL.format(drill=drill, fasteners=fasteners)
        handle_text = {"imports": _FULL_IMPORTS, "assigned": "knife =", "handle_lines": lines}
    return _TEXT.format(
        title=title,
        file=shlex.quote(f"{stem}.py"),
        blade=blade_class.__name__,
        blade_module=blade_class.__module__,
        blade_name=blade_name,
        blade_length=blade_class().blade_length,
        handle=handle_class.__name__,
        handle_module=handle_class.__module__,
        handle_name=handle_name,
        handle_length=handle_class().length,
        thickness=thickness,
        bevel_height=bevel_height,
        edge=edge,
        rough=rough,
        sharpen=sharpen,
        **handle_text,
    )

"""Bosun's knife of an invented shop: its steel, laminate, pin and handle lie in the folder examples/bosun/stockroom.

    bladegeom check examples/bosun/bosun_knife.py --setting stockroom=examples/bosun/stockroom

Every number in that folder is invented, and says so. The mark is a drawing, etched through a printed film.
"""

from pathlib import Path

from bladegeom import (
    FlatBevel,
    Grind,
    Knife,
    MarkZone,
    Plunge,
    Scales,
    Stock,
    Work,
    add_fasteners,
    artwork_from_svg,
    join_halves,
    own_hardware,
    profiles,
)
from bladegeom.profiles.sheepsfoot import Sheepsfoot

Bosun = profiles.get("bosun")

ANCHOR = artwork_from_svg(Path(__file__).with_name("anchor.svg"))

WORK = Work(hardness=(59, 61))


def design(blade_length: float = 95.0, handle_length: float = 118.0) -> Knife:
    """The knife with either of its lengths changed."""
    outline = join_halves(Sheepsfoot(blade_length=blade_length), Bosun(length=handle_length))
    knife = Knife(
        name="Bosun's knife",
        outline=outline,
        stock=Stock(steel="shop steel 7", thickness=3.0),
        grind=Grind(
            bevel=FlatBevel(height=16.0, edge_thickness=0.5),
            plunge=Plunge(x=outline.heel[0], radius=3.0),
            rough_edge=0.8,
            sharpen_deg=20.0,
        ),
        zones=(MarkZone(x=22.0, y=-6.0, width=7.0, height=7.0, text="anchor", artwork=ANCHOR, made="electro-etch"),),
        scales=Scales(slab="sailcloth laminate", thickness=8.0),
    )
    return add_fasteners(knife, own_hardware("shop pin"), count=2, front=22.0, rear=24.0)

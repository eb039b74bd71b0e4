"""Petty knife for the galley of a sail-training ship: thin stock, flat to the spine after hardening, a straight handle.

Its order lies beside it in galley_petty.order.toml. The ship, the order and its numbers are invented.
"""

from bladegeom import (
    FullFlat,
    Grind,
    Knife,
    MarkZone,
    Pin,
    Plunge,
    Rounding,
    Scales,
    Stock,
    add_fasteners,
    add_lightening_row,
    inch,
    join_halves,
)
from bladegeom.profiles.petty import Petty
from bladegeom.profiles.straight import Straight


def design(
    blade_length: float = 150.0, height: float = 29.0, thickness: float = 2.0, slab: str = "Juglans nigra"
) -> Knife:
    """The knife with any of its main numbers changed."""
    outline = join_halves(Petty(blade_length=blade_length, height=height), Straight(length=112.0))
    knife = Knife(
        name="Galley petty",
        outline=outline,
        stock=Stock(steel="1.4116", thickness=thickness),
        grind=Grind(bevel=FullFlat(edge_thickness=0.2), plunge=Plunge(x=outline.heel[0]), sharpen_deg=13.0),
        zones=(MarkZone(x=7.0, y=-8.0, width=9.0, height=3.0, text="GALLEY 1"),),
        scales=Scales(slab=slab, thickness=8.0, rounding=Rounding(width=3.0, depth=3.0)),
        hand_breadth=88.0,
    )
    return add_lightening_row(add_fasteners(knife, Pin(rod="C26000", diameter=inch("3/16")), count=3))

"""Chef's knife for the galley of a sail-training ship: a tapered blade, convexed at the edge, and a bird's-head handle.

The ship, the order and its numbers are invented.
"""

from bladegeom import (
    ConvexEdge,
    FullFlat,
    Grind,
    Knife,
    Pin,
    Plunge,
    Rounding,
    Scales,
    Stock,
    add_fasteners,
    inch,
    join_halves,
)
from bladegeom.profiles.birds_head import BirdsHead
from bladegeom.profiles.chef import Chef


def design(
    blade_length: float = 225.0, height: float = 47.0, thickness: float = 2.5, edge_thickness: float = 0.25
) -> Knife:
    """The knife with any of its main numbers changed."""
    outline = join_halves(Chef(blade_length=blade_length, height=height), BirdsHead())
    flat = FullFlat(edge_thickness=edge_thickness + 0.1)
    knife = Knife(
        name="Galley chef's knife",
        outline=outline,
        stock=Stock(steel="1.4116", thickness=thickness, taper=((20.0, thickness), (blade_length, 1.2))),
        grind=Grind(
            bevel=(flat, ConvexEdge(under=flat, height=5.0, edge_thickness=edge_thickness, bulge=0.01)),
            plunge=Plunge(x=outline.heel[0], radius=3.0),
            rough_edge=0.6,
            sharpen_deg=13.0,
        ),
        scales=Scales(
            slab="NEMA C",
            thickness=9.0,
            swell=((-116.0, 8.0), (-70.0, 9.0), (-5.0, 7.5)),
            rounding=(Rounding(width=9.0, depth=2.0), Rounding(width=2.0, depth=2.0)),
        ),
        front_bow=1.5,
        hand_breadth=88.0,
    )
    return add_fasteners(knife, Pin(rod="C26000", diameter=inch("3/16")), count=3, front=18.0, rear=24.0)

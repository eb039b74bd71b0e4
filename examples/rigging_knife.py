"""Rigging knife for the deck of a sail-training ship: a drop point with a swelled handle and a lanyard hole.

The ship, the order and its numbers are invented.
"""

from bladegeom import (
    Fastener,
    FlatBevel,
    Grind,
    Knife,
    Liner,
    MarkZone,
    Plunge,
    Rounding,
    Scales,
    StandoffScrews,
    Stock,
    TextureZone,
    Tube,
    add_fasteners,
    add_lightening_row,
    inch,
    join_halves,
)
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled


def design(
    blade_length: float = 105.0,
    handle_length: float = 118.0,
    thickness: float = inch("5/32"),
    bevel_height: float = 17.0,
    steel: str = "1.4116",
) -> Knife:
    """The knife with any of its main numbers changed."""
    outline = join_halves(DropPoint(blade_length=blade_length), Swelled(length=handle_length))
    tube = Tube(metal="304", outside=inch("1/4"), inside=4.8)
    knife = Knife(
        name="Rigging knife",
        revision="B",
        outline=outline,
        stock=Stock(steel=steel, thickness=thickness),
        grind=Grind(
            bevel=FlatBevel(height=bevel_height, edge_thickness=0.4),
            plunge=Plunge(x=outline.heel[0], lean_deg=10.0, radius=4.0),
            rough_edge=0.8,
            sharpen_deg=18.0,
        ),
        front_lean_deg=10.0,
        zones=(
            MarkZone(x=19.5, y=-6.0, width=9.0, height=4.0, text="DECK 1"),
            TextureZone(start=26.0, end=80.0, depth=0.3, least_thickness=3.0),
        ),
        scales=Scales(
            slab="NEMA L",
            thickness=9.0,
            liners=(Liner(sheet="NEMA G-10", thickness=0.8),),
            swell=((-118.0, 8.0), (-70.0, 9.0), (0.0, 8.0)),
            rounding=(Rounding(width=12.0, depth=2.0), Rounding(width=2.5, depth=2.5)),
            front_rounding=Rounding(width=1.5, depth=1.5),
        ),
        fasteners=(Fastener(x=-handle_length + 12.0, y=-17.0, hardware=tube),),
        hand_breadth=88.0,
    )
    screws = StandoffScrews(thread="#4-40", diameter=inch("1/4"), length=13.5)
    knife = add_fasteners(knife, screws, count=2, front=18.0, rear=34.0)
    return add_lightening_row(knife, largest=inch("3/8"))

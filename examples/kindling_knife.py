"""Kindling knife for the stove of a sail-training ship: stout stock, a convex bevel, a slot that lightens the tang.

The blade is drawn here from knots, as a maker would who has a shape of his own. The ship and its numbers are invented.
"""

from dataclasses import dataclass

from bladegeom import (
    BladeCurves,
    ConvexBevel,
    Grind,
    Joint,
    Knife,
    Plunge,
    Rounding,
    Scales,
    ShoulderedBolt,
    Slot,
    Stock,
    add_fasteners,
    inch,
    join_halves,
    spline,
)
from bladegeom.profiles.straight import Straight


@dataclass(frozen=True, kw_only=True)
class StoutBlade:
    """A blade half of our own: all that one needs is a joint and three curves."""

    length: float
    height: float = 36.0
    front_height: float = 29.0

    def joint(self) -> Joint:
        """Where the handle takes over."""
        return Joint(height=self.front_height)

    def blade(self) -> BladeCurves:
        """Edge from heel to tip, spine from tip to the origin, choil from the handle to the heel."""
        heel, tip = (16.0, -self.height), (self.length, -9.0)
        belly = (0.72 * self.length, -self.height + 1.5)
        return BladeCurves(
            edge=spline([heel, (0.4 * self.length, -self.height - 0.4), belly, tip], start_deg=-1.0, end_deg=62.0),
            spine=spline([tip, (0.72 * self.length, -1.2), (0.0, 0.0)], end_deg=180.0),
            choil=spline([(0.0, -self.front_height), heel], start_deg=0.0, end_deg=-55.0),
        )


def design(blade_length: float = 165.0, thickness: float = 5.0, steel: str = "52100") -> Knife:
    """The knife with any of its main numbers changed."""
    outline = join_halves(StoutBlade(length=blade_length), Straight(length=125.0))
    knife = Knife(
        name="Kindling knife",
        outline=outline,
        stock=Stock(steel=steel, thickness=thickness),
        grind=Grind(
            bevel=ConvexBevel(height=20.0, edge_thickness=0.7, bulge=0.35),
            plunge=Plunge(x=outline.heel[0], radius=5.0),
            rough_edge=1.0,
            sharpen_deg=22.0,
        ),
        holes=(Slot(start=(-40.0, -14.5), end=(-80.0, -16.0), diameter=10.0, purpose="lightening"),),
        scales=Scales(slab="NEMA C", thickness=10.0, rounding=Rounding(width=5.0, depth=5.0)),
    )
    bolt = ShoulderedBolt(
        metal="304",
        thread="#8-32",
        head_diameter=9.5,
        head_height=4.0,
        shoulder_diameter=inch("1/4"),
        shoulder_length=10.5,
        stud_length=6.0,
        head_left=1.5,
    )
    return add_fasteners(knife, bolt, count=2, front=22.0, rear=24.0)

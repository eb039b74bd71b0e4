"""Petty knife for the galley of a sail-training ship: thin tapered stock, flat to the spine, a straight handle.

Its order lies beside it in galley_petty.order.toml; how it is worked stands at the end. The ship, the order and their
numbers are invented.
"""

from bladegeom import (
    AddStep,
    FullFlat,
    Glue,
    Grind,
    Knife,
    MarkZone,
    Number,
    Operation,
    Pin,
    Plunge,
    Rounding,
    Scales,
    Stock,
    Work,
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
        stock=Stock(steel="1.4116", thickness=thickness, taper=((20.0, thickness), (blade_length, 0.9))),
        grind=Grind(bevel=FullFlat(edge_thickness=0.2), plunge=Plunge(x=outline.heel[0]), sharpen_deg=13.0),
        zones=(MarkZone(x=7.0, y=-8.0, width=9.0, height=3.0, text="GALLEY 1"),),
        scales=Scales(slab=slab, thickness=8.0, rounding=Rounding(width=3.0, depth=3.0)),
        hand_breadth=88.0,
    )
    return add_lightening_row(add_fasteners(knife, Pin(rod="C26000", diameter=inch("3/16")), count=3))


WORK = Work(
    mark="etched through a stencil",
    glue=Glue(name="two-part epoxy", open_minutes=20, clamp_hours=10, cure_hours=24, source="invented, no data sheet"),
)

STEPS = (
    AddStep(
        operation=Operation(
            key="ease_spine",
            title="Ease the spine",
            tasks=(
                "Both corners of the spine rounded from the handle 40 mm forward, file first, then cloth lengthwise.",
            ),
            blanks=(Number(what="length of the spine that is eased", value=40.0, low=38.0, high=45.0),),
        ),
        after="finish_grind",
    ),
)

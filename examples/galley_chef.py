"""Chef's knife for the galley of a sail-training ship: a tapered blade, convexed at the edge, and a bird's-head handle.

The order stands at the end. The ship, the order and its numbers are invented.
"""

from datetime import date

from bladegeom import (
    Change,
    ConvexEdge,
    Delivery,
    Feature,
    Finish,
    FullFlat,
    Grind,
    HandCheck,
    Knife,
    Lead,
    MadeOf,
    Measured,
    Order,
    Payment,
    Pin,
    Plunge,
    Requirement,
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


ORDER = Order(
    number="S-12/2",
    customer="the ship's cook",
    date=date(2026, 3, 2),
    needed_by=date(2026, 6, 15),
    use=("food", "slicing"),
    environment=("wet", "salt water"),
    cleaning="hot soak",
    hand="left",
    hand_breadth=88.0,
    length_limit="9 in",
    payment=Payment(budget=420, deposit=100, shipping="none"),
    delivery=Delivery(ship_to="fetched at the workshop", why="she sails on 20 June", photos=True),
    lead=Lead(queue=30, cutting=10, heat_treat=12, work=18, cure=3),
    requirements=(
        Requirement(
            number=1,
            text="long enough for a cabbage, but it has to fit the drawer",
            concerns="blade",
            met=(
                Measured(measure="blade length", low=215, high=230),
                Measured(measure="overall length", high="13-1/2 in"),
            ),
        ),
        Requirement(
            number=2,
            text="tapered, and thin behind the edge",
            concerns="edge",
            met=(
                Feature(what="distal taper"),
                Measured(measure="tip thickness", high=1.5),
                Measured(measure="edge thickness", nominal=0.25, tolerance=0.05),
                Feature(what="grind", text="full flat"),
            ),
        ),
        Requirement(number=3, text="no rust", concerns="steel", met=MadeOf(part="steel", material="1.4116")),
        Requirement(
            number=4,
            text="a handle that stands hot water, and fills my hand",
            concerns="handle",
            met=(
                MadeOf(part="scales", material="NEMA C"),
                Feature(what="swell"),
                Measured(measure="handle girth", low=80, high=90),
                HandCheck(look="held for a quarter of an hour at the mock-up", signed="customer"),
            ),
        ),
        Requirement(
            number=5,
            text="balanced where I pinch it",
            concerns="weight",
            weight="wish",
            met=Measured(measure="balance", low=-10, high=10),
        ),
        Requirement(
            number=6,
            text="dull, so that the lamp does not dazzle",
            concerns="surface",
            since=date(2026, 3, 20),
            met=Finish(operation="surface", finish="satin, lengthwise, grit 400"),
        ),
    ),
    changes=(
        Change(
            date=date(2026, 3, 20),
            text="not polished, please: the lamp hangs low",
            answer="accepted",
            price=0,
            gate="before cutting",
            requirement=6,
        ),
    ),
)

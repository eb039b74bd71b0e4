"""Facts of an order that no single requirement says: what the knife is for, how it is carried, sent and paid."""

from __future__ import annotations

from dataclasses import fields
from typing import Annotated, Final, Literal

from bladegeom.quantities.declared import declared
from bladegeom.quantities.field_rules import AtLeast, Between, Count, InUnit, LengthOrText, NotNegative, Positive, Says

USES: Final = {
    "slicing": "clean cuts with the edge drawn",
    "food": "it touches food",
    "fish": "gutting and filleting",
    "game": "skinning and dressing",
    "rope": "cutting rope and webbing",
    "carving": "wood, with the hand's force alone",
    "chopping": "swung blows",
    "heavy chopping": "swung blows into hard wood or bone",
    "batoning": "driven through wood with a stick",
    "prying": "levering sideways",
    "show": "to be looked at",
}
"""What a knife is used for, the worst expected abuse among it."""

ENVIRONMENTS: Final = {
    "dry": "indoors, wiped after use",
    "wet": "often wet, wiped when work is done",
    "salt water": "sea air and spray",
    "acid food": "fruit, onion, vinegar",
    "heat": "near a stove or in the sun",
    "cold": "frost and gloves",
    "unattended": "put away wet, seldom cared for",
}
"""Where it lives."""

CLEANINGS: Final = {
    "wiped": "with a cloth",
    "by hand": "in warm water, dried at once",
    "dishwasher": "hot, alkaline and long",
    "hot soak": "left in hot water with washing-up liquid",
}
"""How it is washed."""

Days = Annotated[float, Between(0, 3650), InUnit("days")]
"""Ten years at most; own choice: no order waits longer, and a calendar ends."""
Hand = Literal["right", "left", "both"]
Payer = Literal["customer", "maker", "none"]


@declared("sheath", example="Sheath(material='leather')")
class Sheath:
    """How the knife is carried.

    Args:
        material: Such as "leather, vegetable tanned".
        side: Of the body that it hangs on; None was not told yet.
        belt: Width of the belt, mm or a length as text; None was not told yet.
        slot: Of the slot for it, mm; None is not settled yet.
        angle_deg: Of the knife to upright.
        ride: "high", "middle" or "low".
        retention: What holds the knife in it, in words.
        loop: Whether it carries a loop for a fire steel.

    >>> Sheath(material="leather", side="left", belt="40 mm").belt
    40.0
    """

    material: Annotated[str, Says("leather")]
    side: Literal["right", "left"] | None = None
    belt: LengthOrText | None = None
    slot: LengthOrText | None = None
    angle_deg: Annotated[float, AtLeast(0), InUnit("degrees")] = 0.0
    ride: Literal["high", "middle", "low"] = "middle"
    retention: str = ""
    loop: bool = False

    @property
    def side_words(self) -> str:
        """On which side it hangs, as every paper says it."""
        return "side not told" if self.side is None else f"{self.side} side"


@declared("payment", example="Payment(budget=300)")
class Payment:
    """Money, in the currency of the maker's price list. What is agreed here rules the offer.

    Args:
        budget: The most that the customer wants to pay; None was not told.
        deposit: Paid before work begins, 0 is none; None leaves it to the price list.
        shipping: Who pays for shipping: "customer" on top of the price, "maker" out of it; "none": nothing is sent.
        tax: Who pays tax and duty: "customer" on top of the price, "maker" out of it.

    >>> Payment(budget=640.0, deposit=200.0).shipping
    'customer'
    """

    budget: Positive | None = None
    deposit: NotNegative | None = None
    shipping: Payer = "customer"
    tax: Literal["customer", "maker"] = "customer"


@declared("delivery", example="Delivery(ship_to='fetched at the workshop')")
class Delivery:
    """Where the knife goes, and what may be told of it.

    Args:
        ship_to: In words.
        why: Reason for the date, such as "she sails on the 3rd".
        gift: Whether it is a gift: then no invoice lies in the box.
        photos: Whether pictures of it may be shown.

    >>> Delivery(ship_to="the harbour office", gift=True).gift
    True
    """

    ship_to: Annotated[str, Says("fetched at the workshop")]
    why: str = ""
    gift: bool = False
    photos: bool = False


@declared("lead time", example="Lead(queue=14, work=10)")
class Lead:
    """Calendar days that the work takes, as the maker expects them today.

    Args:
        queue: Until this order's turn comes.
        cutting: Outside, there and back.
        heat_treat: Outside, there and back; 0 where it is done in the shop.
        work: At the bench, all steps.
        cure: Of glue and finish.
        shipping: To the customer.

    >>> Lead(queue=30, work=14).queue
    30.0
    """

    queue: Days = 0
    cutting: Days = 0
    heat_treat: Days = 0
    work: Days = 0
    cure: Days = 0
    shipping: Days = 0

    @property
    def days(self) -> float:
        """Altogether."""
        return float(sum(getattr(self, field.name) for field in fields(self)))


@declared("reference", example="Reference(what='the picture of 3 June', liked=('shape',))")
class Reference:
    """A knife or picture that the customer points at.

    Args:
        what: Which one.
        liked: What exactly is liked on it, such as ("shape", "colour"): empty is a question to ask.

    >>> Reference(what="the old petty", liked=("thin behind the edge",)).liked
    ('thin behind the edge',)
    """

    what: Annotated[str, Says("the picture of 3 June")]
    liked: tuple[Annotated[str, Says("shape")], ...] = ()


@declared("customer's own material", example="OwnMaterial(what='a plank', part='scales')")
class OwnMaterial:
    """A material that the customer brings.

    Args:
        what: Such as "a plank of the old deck".
        part: What is made of it, as in MadeOf.
        thickness: As it came, mm or a length as text; None was not measured yet.
        enough_for: How many knives it is enough for; None was not measured yet.
        irreplaceable: Whether there is no second piece.
        risk: What was agreed if it breaks, in words; empty where nothing was.

    >>> OwnMaterial(what="a plank of walnut", part="scales", thickness="9 mm").thickness
    9.0
    """

    what: Annotated[str, Says("a plank of the old deck")]
    part: Annotated[str, Says("scales")]
    thickness: LengthOrText | None = None
    enough_for: Count | None = None
    irreplaceable: bool = False
    risk: str = ""

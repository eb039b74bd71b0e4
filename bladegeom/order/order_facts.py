"""Facts of an order that no single requirement says: what the knife is for, how it is carried, sent and paid."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Final, Literal, get_args

from bladegeom.knife.require import require_all, require_kind, require_not_negative, require_positive
from bladegeom.order.order_ways import number_or_length, require_number, require_text, require_word

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

Hand = Literal["right", "left", "both"]
Payer = Literal["customer", "maker", "none"]


@dataclass(frozen=True, kw_only=True)
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
    """

    material: str
    side: Literal["right", "left"] | None = None
    belt: float | str | None = None
    slot: float | str | None = None
    angle_deg: float = 0.0
    ride: str = "middle"
    retention: str = ""
    loop: bool = False

    def __post_init__(self) -> None:
        require_text("sheath", "leather", material=self.material)
        if self.side is not None:
            require_word("sheath side", ("right", "left"), side=self.side)
        require_word("sheath ride", ("high", "middle", "low"), ride=self.ride)
        require_kind("sheath", str, "'friction'", retention=self.retention)
        require_kind("sheath", bool, "True", loop=self.loop)
        _read_lengths(self, "sheath", "belt", "slot")
        require_not_negative("sheath", angle_deg=self.angle_deg)

    @property
    def side_words(self) -> str:
        """On which side it hangs, as every paper says it."""
        return "side not told" if self.side is None else f"{self.side} side"


@dataclass(frozen=True, kw_only=True)
class Payment:
    """Money, in the currency of the maker's price list. What is agreed here rules the offer.

    Args:
        budget: The most that the customer wants to pay; None was not told.
        deposit: Paid before work begins, 0 is none; None leaves it to the price list.
        shipping: Who pays for shipping: "customer" on top of the price, "maker" out of it; "none": nothing is sent.
        tax: Who pays tax and duty: "customer" on top of the price, "maker" out of it.
    """

    budget: float | None = None
    deposit: float | None = None
    shipping: Payer = "customer"
    tax: Literal["customer", "maker"] = "customer"

    def __post_init__(self) -> None:
        if self.budget is not None:
            require_positive("payment", budget=self.budget)
        if self.deposit is not None:
            require_not_negative("payment", deposit=self.deposit)
        require_word("payer of shipping", get_args(Payer), shipping=self.shipping)
        require_word("payer", ("customer", "maker"), tax=self.tax)


@dataclass(frozen=True, kw_only=True)
class Delivery:
    """Where the knife goes, and what may be told of it.

    Args:
        ship_to: In words.
        why: Reason for the date, such as "she sails on the 3rd".
        gift: Whether it is a gift: then no invoice lies in the box.
        photos: Whether pictures of it may be shown.
    """

    ship_to: str
    why: str = ""
    gift: bool = False
    photos: bool = False

    def __post_init__(self) -> None:
        require_text("delivery", "fetched at the workshop", ship_to=self.ship_to)
        require_kind("delivery", str, "'she sails on the 3rd'", why=self.why)
        require_kind("delivery", bool, "True", gift=self.gift, photos=self.photos)


@dataclass(frozen=True, kw_only=True)
class Lead:
    """Calendar days that the work takes, as the maker expects them today.

    Args:
        queue: Until this order's turn comes.
        cutting: Outside, there and back.
        heat_treat: Outside, there and back; 0 where it is done in the shop.
        work: At the bench, all steps.
        cure: Of glue and finish.
        shipping: To the customer.
    """

    queue: float = 0
    cutting: float = 0
    heat_treat: float = 0
    work: float = 0
    cure: float = 0
    shipping: float = 0

    def __post_init__(self) -> None:
        require_not_negative("lead time", **{one.name: getattr(self, one.name) for one in fields(self)})

    @property
    def days(self) -> float:
        """Altogether."""
        return float(sum(getattr(self, one.name) for one in fields(self)))


@dataclass(frozen=True, kw_only=True)
class Reference:
    """A knife or picture that the customer points at.

    Args:
        what: Which one.
        liked: What exactly is liked on it, such as ("shape", "colour"): empty is a question to ask.
    """

    what: str
    liked: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        require_text("reference", "the picture of 3 June", what=self.what)
        require_all("reference", str, 'liked=("shape",), with its comma', liked=self.liked)
        object.__setattr__(self, "liked", tuple(self.liked))
        for one in self.liked:
            require_text("reference", "shape", liked=one)


@dataclass(frozen=True, kw_only=True)
class OwnMaterial:
    """A material that the customer brings.

    Args:
        what: Such as "a plank of the old deck".
        part: What is made of it, as in MadeOf.
        thickness: As it came, mm or a length as text; None was not measured yet.
        enough_for: How many knives it is enough for; None was not measured yet.
        irreplaceable: Whether there is no second piece.
        risk: What was agreed if it breaks, in words; empty where nothing was.
    """

    what: str
    part: str
    thickness: float | str | None = None
    enough_for: int | None = None
    irreplaceable: bool = False
    risk: str = ""

    def __post_init__(self) -> None:
        require_text("customer's own material", "scales", what=self.what, part=self.part)
        _read_lengths(self, "customer's own material", "thickness")
        if self.enough_for is not None:
            require_number(self.enough_for, "customer's own material: enough_for")
        require_kind("customer's own material", bool, "True", irreplaceable=self.irreplaceable)
        require_kind("customer's own material", str, "'the cook bears it'", risk=self.risk)


def _read_lengths(value: object, part: str, *names: str) -> None:
    """Lengths that may be told as text, each > 0 mm, put in place as numbers."""
    for name in names:
        number = number_or_length(f"{part}: {name}", getattr(value, name))
        object.__setattr__(value, name, number)
        if number is not None:
            require_positive(part, **{name: number})

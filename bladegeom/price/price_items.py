"""What stands in a maker's price list, one kind of price to a class; all before tax, in the list's currency."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, get_args

from bladegeom.knife.require import require_not_negative, require_positive
from bladegeom.price.money import require_amounts, require_positive_amounts
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tables import material

Grinding = Literal["rough", "finish"]

_MOST_PERCENT = Decimal(1000)
"""No percentage is greater; own choice: beyond it a slip of the keyboard is certain."""


@dataclass(frozen=True, kw_only=True)
class BarPrice:
    """A bar of steel as it is bought.

    Args:
        steel: A name from the table of materials.
        thickness: > 0 mm.
        height: Of its broad face, > 0 mm.
        length: > 0 mm.
        price: Of a bar; or
        price_per_kg: by its weight.
    """

    steel: str
    thickness: float
    height: float
    length: float
    price: Decimal | None = None
    price_per_kg: Decimal | None = None

    def __post_init__(self) -> None:
        part = f"bar of {self.steel}"
        object.__setattr__(self, "steel", material(self.steel, "steel", "metal").name)
        require_positive(part, thickness=self.thickness, height=self.height, length=self.length)
        require_amounts(part, price=self.price, price_per_kg=self.price_per_kg)
        if (self.price is None) == (self.price_per_kg is None):
            raise ParameterError(part, "both or none of price, price_per_kg", "have one of the two")


@dataclass(frozen=True, kw_only=True)
class SheetPrice:
    """A slab or a sheet as it is bought, the grain along its length.

    Args:
        material: A name from the table of materials.
        thickness: > 0 mm.
        length: > 0 mm.
        width: > 0 mm.
        price: Of one.
    """

    material: str
    thickness: float
    length: float
    width: float
    price: Decimal

    def __post_init__(self) -> None:
        part = f"sheet of {self.material}"
        object.__setattr__(self, "material", material(self.material).name)
        require_positive(part, thickness=self.thickness, length=self.length, width=self.width)
        require_amounts(part, price=self.price)


@dataclass(frozen=True, kw_only=True)
class RodPrice:
    """A rod or a tube as it is bought.

    Args:
        metal: A name from the table of materials.
        diameter: Outside, > 0 mm.
        inside: Of a tube, mm; None is a rod.
        length: > 0 mm.
        price: Of one.
    """

    metal: str
    diameter: float
    length: float
    price: Decimal
    inside: float | None = None

    def __post_init__(self) -> None:
        part = f"rod of {self.metal}"
        object.__setattr__(self, "metal", material(self.metal).name)
        require_positive(part, diameter=self.diameter, length=self.length)
        require_amounts(part, price=self.price)
        if self.inside is not None:
            require_positive(part, inside=self.inside)


@dataclass(frozen=True, kw_only=True)
class Consumable:
    """What the work uses up.

    Args:
        name: What it is.
        price: Of one: a belt, a pack, a drill.
        per_order: How many of it an order takes, however many knives.
        per_knife: And each knife.
        per_hole: And each hole drilled.
        lasts_mm3: Of what is worn by grinding: steel that one takes off, mm3.
        grinding: In which step; None in both.
    """

    name: str
    price: Decimal
    per_order: Decimal | None = None
    per_knife: Decimal | None = None
    per_hole: Decimal | None = None
    lasts_mm3: Decimal | None = None
    grinding: Grinding | None = None

    def __post_init__(self) -> None:
        part = f"consumable {self.name}"
        require_amounts(
            part, price=self.price, per_order=self.per_order, per_knife=self.per_knife, per_hole=self.per_hole
        )
        require_positive_amounts(part, lasts_mm3=self.lasts_mm3)
        require_word(part, self.grinding, get_args(Grinding))
        if {self.per_order, self.per_knife, self.per_hole, self.lasts_mm3} == {None}:
            raise ParameterError(part, "no quantity", "have one of per_order, per_knife, per_hole, lasts_mm3")
        if self.grinding and self.lasts_mm3 is None:
            raise ParameterError(f"{part}: grinding", repr(self.grinding), "stand beside lasts_mm3")


@dataclass(frozen=True, kw_only=True)
class Outside:
    """Work that somebody else does, and what it costs; the sum of all that is given.

    Args:
        name: What it is called.
        covers: Steps of the work that it does, such as "cut".
        per_order: For setting up.
        per_knife: For each.
        per_metre: Of the path that is cut: the outline and the holes cut with it.
        per_pierce: For each start of the cut.
        least: The order is charged no less, whatever the sum.
    """

    name: str
    covers: tuple[str, ...]
    per_order: Decimal | None = None
    per_knife: Decimal | None = None
    per_metre: Decimal | None = None
    per_pierce: Decimal | None = None
    least: Decimal | None = None

    def __post_init__(self) -> None:
        part = f"outside work {self.name}"
        prices = {
            "per_order": self.per_order,
            "per_knife": self.per_knife,
            "per_metre": self.per_metre,
            "per_pierce": self.per_pierce,
        }
        require_amounts(part, least=self.least, **prices)
        if set(prices.values()) == {None}:
            raise ParameterError(part, "no price", f"have one of {', '.join(prices)}")


@dataclass(frozen=True, kw_only=True)
class Work:
    """Work of the maker's own, and how long it takes; the sum of all that is given.

    Args:
        name: What it is called.
        covers: Steps of the work that it does, such as "drill".
        minutes_per_order: However many knives.
        minutes_per_knife: For each.
        minutes_per_hole: For each hole drilled.
        grinding: This is the rough or the finish grinding, and takes besides as long as the steel it removes.
        mm3_per_minute: Of steel taken off; None leaves it to the log of past jobs.
        hour_rate: Of this work; None is the list's.
    """

    name: str
    covers: tuple[str, ...]
    minutes_per_order: Decimal | None = None
    minutes_per_knife: Decimal | None = None
    minutes_per_hole: Decimal | None = None
    grinding: Grinding | None = None
    mm3_per_minute: Decimal | None = None
    hour_rate: Decimal | None = None

    def __post_init__(self) -> None:
        part = f"work {self.name}"
        times = {
            "minutes_per_order": self.minutes_per_order,
            "minutes_per_knife": self.minutes_per_knife,
            "minutes_per_hole": self.minutes_per_hole,
        }
        require_amounts(part, hour_rate=self.hour_rate, **times)
        require_positive_amounts(part, mm3_per_minute=self.mm3_per_minute)
        require_word(part, self.grinding, get_args(Grinding))
        if set(times.values()) == {None} and self.grinding is None:
            raise ParameterError(part, "no time", f"have one of {', '.join(times)}, or grinding")
        if self.mm3_per_minute is not None and self.grinding is None:
            raise ParameterError(f"{part}: mm3_per_minute", self.mm3_per_minute, 'stand beside grinding = "rough"')


@dataclass(frozen=True, kw_only=True)
class Gate:
    """A point of the work behind which a change costs more.

    Args:
        name: After what, such as "the template is approved".
        fee: For a change from then on, and
        percent: of the price.
    """

    name: str
    fee: Decimal
    percent: Decimal

    def __post_init__(self) -> None:
        require_amounts(f"gate {self.name}", fee=self.fee)
        require_percents(f"gate {self.name}", percent=self.percent)


@dataclass(frozen=True, kw_only=True)
class OpenPrice:
    """What something that is not decided yet may add to the price of an order, before tax.

    Args:
        about: The requirement's number, or what it concerns.
        least: However it is decided.
        most: At most.
    """

    about: str
    least: Decimal
    most: Decimal

    def __post_init__(self) -> None:
        require_amounts(f"open item {self.about}", least=self.least, most=self.most)
        if self.least > self.most:
            raise ParameterError(f"open item {self.about}: least", self.least, f"be at most its most, {self.most}")


@dataclass(frozen=True, kw_only=True)
class Sawing:
    """What sawing takes.

    Args:
        kerf: Between two pieces, mm.
        allowance: Round a blank on every side, mm.
        end_trim: Off each end of a bar, mm.
    """

    kerf: float
    allowance: float
    end_trim: float

    def __post_init__(self) -> None:
        require_not_negative("saw", kerf=self.kerf, allowance=self.allowance, end_trim=self.end_trim)


def require_percents(part: str, /, **values: Decimal) -> None:
    """Refuse what is no percentage: negative, or above a thousand."""
    require_amounts(part, **values)
    for name, value in values.items():
        if value > _MOST_PERCENT:
            raise ParameterError(f"{part}: {name}", value, f"be at most {_MOST_PERCENT}")


def require_word(part: str, word: str | None, known: tuple[str, ...]) -> None:
    """Refuse a word that is none of those known; None is let pass."""
    if word is not None and word not in known:
        raise ParameterError(part, repr(word), "be one of " + ", ".join(repr(one) for one in known))

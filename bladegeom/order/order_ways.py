"""How a wish of the customer is met: a measure, a feature, an operation, a material, or a look that is signed for."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

from bladegeom.knife.grind import Flank
from bladegeom.knife.require import require_kind, told
from bladegeom.order.measures import SIGNED, Measure, measures
from bladegeom.quantities.errors import ParameterError, QuantityError, UnknownNameError
from bladegeom.quantities.units import length

FEATURES: Final = {
    "texture": "a carved or textured zone on the blade",
    "mark": "a text or mark on the blade, letter by letter",
    "lanyard": "a hole or tube for a lanyard",
    "liners": "thin sheets under the scales",
    "lightening": "holes or slots that lighten the tang",
    "tang taper": "a tang that gets thinner towards the butt",
    "distal taper": "a blade that gets thinner towards the tip",
    "one-sided grind": "a bevel on one face only",
    "grind": "the kind of bevel, such as convex",
    "swell": "scales that swell towards the palm",
    "fasteners": "the kind of hardware that holds the scales, such as pin",
    "scales": "slabs on the tang",
}
"""Features of a design that an order can ask for, and what each means."""

Side = Flank | Literal["both"]


@dataclass(frozen=True, kw_only=True)
class Measured:
    """A limit on something that is measured: at least one of low, high and nominal is told.

    Args:
        measure: Name of a measure (``order/measures.py``), such as "blade length" or "mass".
        low: Least allowed, in the measure's unit (mm, g, deg, HRC); a length may be a text with its unit.
        high: Greatest allowed.
        nominal: What is wanted.
        tolerance: How far it may be off the nominal, >= 0; told where nominal stands without low or high.

    Raises:
        ParameterError: No limit at all, a nominal without tolerance, limits the wrong way round, a length where the
            measure is none, a tolerance that lets everything pass.
    """

    measure: str
    low: float | str | None = None
    high: float | str | None = None
    nominal: float | str | None = None
    tolerance: float | str | None = None

    def __post_init__(self) -> None:
        require_text("measured", "blade length", measure=self.measure)
        object.__setattr__(self, "measure", " ".join(self.measure.lower().split()))
        known = measures().get(self.measure)
        for name in ("low", "high", "nominal", "tolerance"):
            self._require_unit(name, known)
            object.__setattr__(self, name, number_or_length(f"{self.measure}: {name}", getattr(self, name)))
        self._require_limits()
        low, high = self.limits
        if not low <= high:
            raise ParameterError(f"{self.measure}: low", f"{low:g}", f"be at most high, {high:g}")
        if self.nominal is not None and not low <= self.nominal <= high:  # type: ignore[operator]  # numbers by now
            raise ParameterError(f"{self.measure}: nominal", self.nominal, f"lie between {low:g} and {high:g}")

    def _require_unit(self, name: str, known: Measure | None) -> None:
        """Refuse a text, which is read as a length, where the measure is none: "5 in" of mass would be 127 g."""
        value = getattr(self, name)
        if isinstance(value, str) and known is not None and known.unit != "mm":
            raise ParameterError(f"{self.measure}: {name}", repr(value), f"be a bare number, in {known.unit}")

    def _require_limits(self) -> None:
        bounded = self.low is not None or self.high is not None
        if self.nominal is None and not bounded:
            raise ParameterError(f"{self.measure}: limits", "none", "name low, high, or nominal with its tolerance")
        if self.nominal is not None and self.tolerance is None and not bounded:
            raise ParameterError(f"{self.measure}: tolerance", "none", "say how far off the nominal is still good")
        if self.tolerance is not None and self.nominal is None:
            raise ParameterError(f"{self.measure}: nominal", "none", "be told where a tolerance is told")
        if self.tolerance is not None and self.tolerance < 0:  # type: ignore[operator]  # a number by now
            raise ParameterError(f"{self.measure}: tolerance", self.tolerance, "be >= 0")
        if self.tolerance is not None and self.measure not in SIGNED and self.tolerance >= self.nominal > 0:  # type: ignore[operator]
            must = f"be less than the nominal, {self.nominal:g}: as it is, anything passes"
            raise ParameterError(f"{self.measure}: tolerance", f"{self.tolerance:g}", must)

    @property
    def limits(self) -> tuple[float, float]:
        """Least and greatest allowed; infinite where there is none."""
        low, high = -math.inf, math.inf
        if self.nominal is not None and self.tolerance is not None:
            low, high = float(self.nominal) - float(self.tolerance), float(self.nominal) + float(self.tolerance)
        low = low if self.low is None else max(low, float(self.low))
        return low, (high if self.high is None else min(high, float(self.high)))


@dataclass(frozen=True, kw_only=True)
class Feature:
    """Something that the design must have, or must not have.

    Args:
        what: One of :data:`FEATURES`.
        side: On which face, of a mark or a texture; None leaves it open. Of a one-sided grind: the face that is ground.
        text: Of a mark: letter by letter. Of the grind and of fasteners: their kind in words, such as "convex".
        cord: Of a lanyard: the cord's thickness, mm; it goes through double.
        absent: Whether it is wanted away, as in "no lightening holes".

    Raises:
        UnknownNameError: No such feature or side.
        ParameterError: A side, a text or a cord where none belongs, or an empty one.
    """

    what: str
    side: Side | None = None
    text: str | None = None
    cord: float | str | None = None
    absent: bool = False

    def __post_init__(self) -> None:
        require_word("feature of the order", FEATURES, what=self.what)
        if self.side is not None:
            require_word("side", ("right", "left", "both"), side=self.side)
            self._require_belongs("side", ("mark", "texture", "one-sided grind"))
        require_kind(f"feature {self.what}", bool, "absent=True", absent=self.absent)
        if self.text is not None:
            self._require_belongs("text", ("mark", "grind", "fasteners"))
            require_text(f"feature {self.what}", "GALLEY 1", text=self.text)
        object.__setattr__(self, "cord", number_or_length("lanyard: cord", self.cord))
        if self.cord is not None:
            self._require_belongs("cord", ("lanyard",))
            if self.absent:
                raise ParameterError("lanyard: cord", self.cord, "be left out where no lanyard is wanted")
            if self.cord <= 0:  # type: ignore[operator]  # a number by now
                raise ParameterError("lanyard: cord", self.cord, "be > 0 mm")

    def _require_belongs(self, name: str, to: tuple[str, ...]) -> None:
        if self.what not in to:
            raise ParameterError(
                f"feature {self.what}: {name}", repr(getattr(self, name)), f"go with {' or '.join(to)}"
            )


@dataclass(frozen=True, kw_only=True)
class Finish:
    """An operation of the route, with the finish that the customer wants from it.

    Args:
        operation: Key of an operation, such as "etch", "surface", "sharpen" or one of the maker's own.
        finish: In words, such as "satin, lengthwise, grit 400".
    """

    operation: str
    finish: str

    def __post_init__(self) -> None:
        require_text("finish", "etch", operation=self.operation)
        require_text("finish", "satin, lengthwise", finish=self.finish)


@dataclass(frozen=True, kw_only=True)
class MadeOf:
    """What a part is to be made of.

    Args:
        part: "steel", "scales", "liners", "fasteners", or a piece of hardware by its name, such as "lanyard tube".
        material: By the name that the design gives it.
    """

    part: str
    material: str

    def __post_init__(self) -> None:
        require_text("made of", "scales", part=self.part)
        require_text("made of", "Juglans nigra", material=self.material)


@dataclass(frozen=True, kw_only=True)
class HandCheck:
    """Something that no number of the design shows: it is looked at, and signed for.

    Args:
        look: What is looked at, and what shows that it is good.
        signed: By whom: "maker", "customer", "cutter" ...
    """

    look: str
    signed: str

    def __post_init__(self) -> None:
        require_text("hand check", "a 5 mm cord passes double", look=self.look)
        require_text("hand check", "maker", signed=self.signed)


Way = Measured | Feature | Finish | MadeOf | HandCheck
"""One way in which a requirement is met."""


def require_text(part: str, example: str, /, **values: object) -> None:
    """Raise unless each value is a text that says something."""
    for name, value in values.items():
        if not isinstance(value, str):
            raise ParameterError(f"{part}: {name}", told(value), f"be a text, such as {example!r}")
        if not value.strip():
            raise ParameterError(f"{part}: {name}", repr(value), f"say something, such as {example!r}")


def require_word(kind: str, known: dict[str, str] | tuple[str, ...], /, **values: object) -> None:
    """Raise unless each value is one of the known words; near ones are suggested."""
    for name, value in values.items():
        require_text(kind, next(iter(known)), **{name: value})
        if value not in known:
            raise UnknownNameError(kind, str(value), known)


def require_number(value: object, name: str = "requirement: number") -> None:
    """Refuse what is no whole number from 1 on."""
    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        raise ParameterError(name, told(value), "be a whole number from 1 on")


def number_or_length(name: str, value: object) -> float | None:
    """A bare number as it is, a text as a length in mm."""
    if value is None:
        return None
    if isinstance(value, str):
        try:
            return length(value)
        except QuantityError as error:
            must = f"be a bare number (mm, g, degrees, HRC) or a length such as '4 mm', '3/16 in': {error.reason}"
            raise ParameterError(name, repr(value), must) from error
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ParameterError(name, told(value), "be a finite number, or a length as text such as '3/16 in'")
    return float(value)

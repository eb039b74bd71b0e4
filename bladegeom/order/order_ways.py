"""How a wish of the customer is met: a measure, a feature, an operation, a material, or a look that is signed for."""

from __future__ import annotations

import math
from typing import Annotated, Final, Literal

from bladegeom.knife.grind import Flank
from bladegeom.order.measures import SIGNED, Measure, measures
from bladegeom.quantities.declared import checked, declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Becomes, KnownWord, LengthOrText, Like, Says, number_or_length
from bladegeom.quantities.told import told

FEATURES: Final = {
    "texture": "a carved or textured surface, of the blade or of the handle",
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

_LIKE: Final = Like("4 or '3/16 in'")
_Untold = Annotated[float | str, _LIKE] | None
"""As it is written; whether a text may stand there depends on the measure."""
_Number = Annotated[float | str, Becomes(number_or_length), _LIKE]

Side = Flank | Literal["both"]
TexturePlace = Literal["blade", "handle", "blade and handle"]
FinishPlace = Literal["blade", "tang", "handle", "blade and tang", "blade and handle"]


@declared("measured", example='Measured(measure="mass", high=180)')
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

    >>> Measured(measure="blade length", nominal=110.0, tolerance=1.0).limits
    (109.0, 111.0)
    """

    measure: Annotated[str, Says("blade length")]
    low: _Untold = None
    high: _Untold = None
    nominal: _Untold = None
    tolerance: _Untold = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "measure", " ".join(self.measure.lower().split()))
        known = measures().get(self.measure)
        for name in ("low", "high", "nominal", "tolerance"):
            self._require_unit(name, known)
            value = checked(f"{self.measure}: {name}", getattr(self, name), _Number | None)
            object.__setattr__(self, name, value)
        self._require_limits()
        low, high = self.limits
        if not low <= high:
            raise ParameterError(f"{self.measure}: low", f"{low:g}", f"be at most high, {high:g}")
        if self.nominal is not None and not low <= self.nominal <= high:  # type: ignore[operator]  # numbers by now
            raise ParameterError(f"{self.measure}: nominal", f"{self.nominal:g}", f"lie between {low:g} and {high:g}")

    def _require_unit(self, name: str, known: Measure | None) -> None:
        """Refuse a text, which is read as a length, where the measure is none: "5 in" of mass would be 127 g."""
        value = getattr(self, name)
        if isinstance(value, str) and known is not None and known.unit != "mm":
            raise ParameterError(f"{self.measure}: {name}", repr(value), f"be a bare number, in {known.unit}")

    def _require_limits(self) -> None:
        bounded = self.low is not None or self.high is not None
        if self.nominal is None and not bounded:
            raise ParameterError(f"{self.measure}: limit", "not given", "be low, high, or nominal with its tolerance")
        if self.nominal is not None and self.tolerance is None and not bounded:
            raise ParameterError(f"{self.measure}: tolerance", "not given", "say how far off the nominal is still good")
        if self.tolerance is not None and self.nominal is None:
            raise ParameterError(f"{self.measure}: nominal", "not given", "be told where a tolerance is told")
        if self.tolerance is not None and self.tolerance < 0:  # type: ignore[operator]  # a number by now
            raise ParameterError(f"{self.measure}: tolerance", f"{self.tolerance:g}", "be 0 or more")
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


@declared("feature {what}", example='Feature(what="lanyard")')
class Feature:
    """Something that the design must have, or must not have.

    Args:
        what: One of :data:`FEATURES`.
        side: On which face, of a mark or a texture; None leaves it open. Of a one-sided grind: the face that is ground.
        place: Of a texture: on which part; None leaves it open, and the blade is looked at.
        text: Of a mark: letter by letter. Of the grind and of fasteners: their kind in words, such as "convex".
        cord: Of a lanyard: the cord's thickness, mm; it goes through double.
        absent: Whether it is wanted away, as in "no lightening holes".

    Raises:
        UnknownNameError: No such feature or side.
        ParameterError: A side, a place, a text or a cord where none belongs, or an empty one.

    >>> Feature(what="lanyard").what
    'lanyard'
    """

    what: Annotated[str, KnownWord("feature of the order", tuple(FEATURES))]
    side: Side | None = None
    place: TexturePlace | None = None
    text: Annotated[str, Says("GALLEY 1")] | None = None
    cord: LengthOrText | None = None
    absent: bool = False

    def __post_init__(self) -> None:
        if self.side is not None:
            self._require_belongs("side", ("mark", "texture", "one-sided grind"))
        if self.place is not None:
            self._require_belongs("place", ("texture",))
        if self.text is not None:
            self._require_belongs("text", ("mark", "grind", "fasteners"))
        if self.cord is not None:
            self._require_belongs("cord", ("lanyard",))
            if self.absent:
                raise ParameterError(
                    "feature lanyard: cord", f"{self.cord:g} mm", "be left out where no lanyard is wanted"
                )

    def _require_belongs(self, name: str, to: tuple[str, ...]) -> None:
        if self.what not in to:
            raise ParameterError(
                f"feature {self.what}: {name}", told(getattr(self, name)), f"go with {' or '.join(to)}"
            )


@declared("finish", example='Finish(operation="etch", finish="satin")')
class Finish:
    """An operation of the route, with the finish that the customer wants from it.

    Args:
        operation: Key of an operation, such as "etch", "surface", "sharpen" or one of the maker's own.
        finish: In words, such as "satin, lengthwise, grit 400".
        place: Where on the knife; None leaves it open.

    >>> Finish(operation="surface", finish="satin").finish
    'satin'
    """

    operation: Annotated[str, Says("etch")]
    finish: Annotated[str, Says("satin, lengthwise")]
    place: FinishPlace | None = None

    @property
    def words(self) -> str:
        """The finish with its place, as the bench is told."""
        return self.finish if self.place is None else f"{self.finish}, on the {self.place}"


@declared("made of", example='MadeOf(part="scales", material="NEMA L")')
class MadeOf:
    """What a part is to be made of.

    Args:
        part: "steel", "scales", "liners", "fasteners", or a piece of hardware by its name, such as "lanyard tube".
        material: By the name that the design gives it.

    >>> MadeOf(part="scales", material="Juglans nigra").part
    'scales'
    """

    part: Annotated[str, Says("scales")]
    material: Annotated[str, Says("Juglans nigra")]


@declared("hand check", example='HandCheck(look="no burr", signed="maker")')
class HandCheck:
    """Something that no number of the design shows: it is looked at, and signed for.

    Args:
        look: What is looked at, and what shows that it is good.
        signed: By whom: "maker", "customer", "cutter" ...

    >>> HandCheck(look="try it in the hand", signed="customer").signed
    'customer'
    """

    look: Annotated[str, Says("a 5 mm cord passes double")]
    signed: Annotated[str, Says("maker")]


def parts_named(place: str) -> frozenset[str]:
    """The parts of the knife that a place names.

    >>> sorted(parts_named("blade and handle"))
    ['blade', 'handle']
    """
    return frozenset(place.split(" and "))


Way = Measured | Feature | Finish | MadeOf | HandCheck
"""One way in which a requirement is met."""

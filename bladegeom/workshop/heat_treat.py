"""The heat-treat card of a knife: recipe by steel, what must fit into kiln, plates and oil, and the plate quench.

The steel maker's data sheet overrides every number. For a steel without rows nothing is guessed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from bladegeom.knife.grind import Stage
from bladegeom.knife.knife import Knife
from bladegeom.mass.weigh import weigh
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.heat_treatments import HeatTreatment
from bladegeom.quantities.materials import row_name
from bladegeom.quantities.steel_heat import HOTTEST_C, conductivity, enthalpy, specific_heat
from bladegeom.quantities.steel_treatments import heat_treatment
from bladegeom.quantities.temper_advice import TemperAdvice
from bladegeom.quantities.units import show_mass
from bladegeom.solids.part import G_PER_MM3
from bladegeom.workshop.operation import PRACTICE, Number
from bladegeom.workshop.quench import PlateQuench, Plates
from bladegeom.workshop.work import Work

DEFER: Final = "The steel maker's data sheet comes first: every number here is a starting point."

FOLD: Final = 10.0
"""Width of one fold of a foil seam, mm; each open side is folded twice."""
FOIL_ROOM: Final = 10.0
"""Kept free inside the envelope at each end and beside the blade, mm."""
KILN_ROOM: Final = 25.0
"""Kept free at each end of what lies in the kiln, mm."""
PLATE_ROOM: Final = 10.0
"""By which plates stand out beyond the blade on every side, mm."""
TANK_ROOM: Final = 50.0
"""Oil above and below a blade that hangs in it, and tank above the oil, each, mm."""
LITRES_PER_KG: Final = 8.0
"""Least oil for steel quenched at once, L/kg. Source of all six: common practice, no source."""

SKIN: Final = (0.1, 0.2)
"""Scale and decarburised steel on a side after hardening without foil, mm. Source: common practice, no source."""

OIL_BATH: Final = (32.0, 54.0)
OIL_BATH_SOURCE: Final = "machinists' handbook page: ordinarily 90 to 130 F; the oil's own data sheet comes first"
"""Working temperature of a quenching oil where the steel has no row of its own, C."""

BELOW_FLASH: Final = 50 / 1.8
"""The oil stays this far below its flash point, K. Source: 29 CFR 1910.126(a)(2), where a tank's alarm is set."""

PLATE_WIDTH: Final = 100.0
"""Plates are told no narrower, mm. Source: common practice, no source."""
PLATE_RISE: Final = 25.0
"""Plates are told so thick that one blade warms them by no more, K; own choice: from 20 C they stay hand-warm."""

_GROWTH: Final = (0.0005, 0.0015)
"""Lengthening by hardening as a share, where a steel has no row. Source: common practice, no source."""


@dataclass(frozen=True, eq=False)
class HeatTreatCard:
    """What a heat treatment of one knife needs.

    Args:
        knife: The design.
        treatment: Of its steel.
        work: What the maker has settled.

    >>> from bladegeom import heat_treat_card
    >>> card = heat_treat_card(knife)
    >>> card.stage, round(card.length)
    ('blank', 228)
    """

    knife: Knife
    treatment: HeatTreatment
    work: Work

    @property
    def stage(self) -> Stage:
        """In which the steel goes to hardening."""
        return "blank" if self.knife.grind.rough_edge is None else "rough"

    @cached_property
    def volume(self) -> float:
        """Of the steel when it goes to hardening, mm3; 0 where its holes leave nothing."""
        return weigh(self.knife).stage(self.stage).amount

    @property
    def mass_kg(self) -> float:
        """Of the steel when it goes to hardening.

        Raises:
            ParameterError: Nothing is left of it.
        """
        mass = self.volume * self.knife.stock.material.density_g_cm3 * G_PER_MM3 / 1000
        if self.volume > 0:
            return mass
        must = "be more than 0 g: the holes leave nothing of the steel; make them narrower, or fewer"
        raise ParameterError("steel as hardened: mass", mass, must, shown=show_mass(1000 * mass))

    @property
    def length(self) -> float:
        """Of the steel along x, mm."""
        x0, _, x1, _ = self.knife.outline.bounds
        return x1 - x0

    @property
    def height(self) -> float:
        """Of the steel along y, mm."""
        _, y0, _, y1 = self.knife.outline.bounds
        return y1 - y0

    @property
    def foil(self) -> tuple[float, float]:
        """Length and width of the sheet that is folded round the blade along its spine, mm."""
        seams = 2 * 2 * FOLD
        half = self.height + self.knife.stock.thickness + 2 * FOIL_ROOM + 2 * FOLD
        return self.length + 2 * FOIL_ROOM + seams, 2 * half

    @property
    def kiln_length(self) -> float:
        """Least length inside the kiln, mm."""
        envelope = 2 * FOIL_ROOM if self.treatment.sheath else 0.0
        return self.length + envelope + 2 * KILN_ROOM

    @cached_property
    def plates(self) -> Plates:
        """The maker's own, or the least that will do: one blade warms them by no more than a few kelvin."""
        if self.work.plates is not None:
            return self.work.plates
        length = _up(self.length + 2 * PLATE_ROOM, 10.0)
        width = max(_up(self.height + 2 * PLATE_ROOM, 10.0), PLATE_WIDTH)
        thin = Plates(length=length, width=width)
        hot = min(self.treatment.austenitize_c, HOTTEST_C)
        rise = self.mass_kg * enthalpy(hot) / thin.heat_capacity
        thickness = max(thin.thickness, _up(thin.thickness * rise / PLATE_RISE, 5.0))
        return Plates(length=length, width=width, thickness=thickness)

    @property
    def oil_depth(self) -> float:
        """Of oil that takes the whole blade upright in one go, mm."""
        return self.length + 2 * TANK_ROOM

    @property
    def tank_depth(self) -> float:
        """Inside, of the vessel for the oil, mm."""
        return self.oil_depth + TANK_ROOM

    @property
    def oil_litres(self) -> float:
        """Least oil for one blade at a time; the depth may ask for more."""
        return LITRES_PER_KG * self.mass_kg

    @cached_property
    def plate_quench(self) -> PlateQuench | None:
        """Between plates, where the steel is quenched so and the formulas reach."""
        steel, hot = self.treatment, self.treatment.austenitize_c
        if not steel.plates or hot > HOTTEST_C:
            return None
        return PlateQuench(
            mass_kg=self.mass_kg,
            thickness=self.knife.stock.thickness,
            start_c=hot,
            plates=self.plates,
            specific_heat=steel.specific_heat_j_kg_k or specific_heat(20.0),
            # Hot steel conducts much like any other; near room temperature an alloyed one less than the formula has.
            conductivity=min(steel.conductivity_w_m_k or conductivity(hot), conductivity(hot)),
            density=self.knife.stock.material.density_g_cm3 * 1000,
        )

    @property
    def gap(self) -> float:
        """Between the ground face and a plate, at the edge, mm: the bevels touch no plate."""
        edge = self.knife.grind.rough_edge
        if edge is None:
            return 0.0
        sides = 1 if self.knife.grind.only else 2
        return (self.knife.stock.thickness - edge) / sides

    @cached_property
    def gives_all(self) -> bool:
        """Whether the table of tempers has all of the wanted hardness; so it is where none is wanted."""
        wanted = self.work.hardness
        return wanted is None or self.treatment.part_given(*wanted) == wanted

    @cached_property
    def temper(self) -> TemperAdvice | None:
        """Tempering temperatures for what the table gives of the wanted hardness; None without any of it, or a wish."""
        part = None if self.work.hardness is None else self.treatment.part_given(*self.work.hardness)
        return None if part is None else self.treatment.advice(*part)

    @property
    def in_oil(self) -> bool:
        """Whether the blade is quenched in oil: a steel that plates harden goes between plates."""
        return self.treatment.oil and not self.treatment.plates

    @property
    def oil_bath_c(self) -> tuple[float, float]:
        """Least and greatest working temperature of the oil, C."""
        return self.treatment.oil_bath_c or OIL_BATH

    @property
    def oil_bath_source(self) -> str:
        """Where that comes from."""
        return self.treatment.source if self.treatment.oil_bath_c else OIL_BATH_SOURCE

    @property
    def growth(self) -> tuple[float, float]:
        """Least and greatest lengthening by hardening, as a share."""
        return self.treatment.growth or _GROWTH

    @property
    def growth_source(self) -> str:
        """Where that comes from."""
        return "table of heat treatments" if self.treatment.growth else PRACTICE

    @property
    def temper_table(self) -> tuple[Number, ...]:
        """Hardness to expect at each temperature of the table."""
        return tuple(
            Number(
                what=f"after {_count(self.treatment.temper_count)} at {_celsius(temper.celsius)}",
                unit="HRC",
                value=temper.hardness.hrc,
                low=temper.hardness.low,
                high=temper.hardness.high,
                source=temper.hardness.source or self.treatment.source,
                note=self.treatment.row_words(temper),
            )
            for temper in self.treatment.tempers
        )


def heat_treat_card(knife: Knife, work: Work | None = None) -> HeatTreatCard:
    """The card of a knife.

    Args:
        knife: The design.
        work: With the maker's own treatment, hardness and plates, if any.

    Raises:
        UnknownTreatmentError: The steel has no rows and the maker brings none: nothing is guessed.
        ParameterError: It is no knife, its metal is no steel, or the maker's treatment is for another one.

    >>> card = heat_treat_card(knife)
    >>> card.treatment.steel, round(1000 * card.mass_kg, 1)
    ('1.4116', 131.4)
    """
    checked("heat_treat_card: knife", knife, Knife)
    checked("heat_treat_card: work", work, Work | None)
    work = Work() if work is None else work
    metal = knife.stock.material
    if metal.kind != "steel":
        raise ParameterError("stock: steel", metal.name, "be a steel to be hardened")
    treatment = work.treatment or heat_treatment(metal.name)
    if row_name(treatment.steel) != row_name(metal.name):
        raise ParameterError("work: treatment", treatment.steel, f"be for the steel of the stock, {metal.name}")
    return HeatTreatCard(knife=knife, treatment=treatment, work=work)


def _count(times: int) -> str:
    return {1: "one temper", 2: "two tempers", 3: "three tempers"}.get(times, f"{times} tempers")


def _celsius(value: float) -> str:
    return Number(what="", unit="C", value=value).text


def _up(mm: float, step: float) -> float:
    return step * math.ceil(mm / step - 1e-9)

"""How a blade is ground: faces on its sides, the plunge line that ends them, and the stages of the work."""

from __future__ import annotations

from typing import Annotated, Final, Literal

from bladegeom.knife.bevels.face import Face, lacks
from bladegeom.knife.bevels.flat import AngledBevel
from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import FieldError, ParameterError
from bladegeom.quantities.field_rules import Becomes, Between, Coordinate, Distance, InUnit, Like
from bladegeom.quantities.units import show_length, show_mm

Stage = Literal["blank", "rough", "finished", "sharp"]
Flank = Literal["right", "left"]

STAGES: Final[tuple[Stage, ...]] = ("blank", "rough", "finished", "sharp")
"""In the order of the work: cut and drilled; ground before hardening; ground to size; sharpened."""

HANDLED: Final[tuple[Stage, ...]] = ("finished", "sharp")
"""Stages at which the handle is on: it is sharpened last of all."""


@declared("plunge line", example="Plunge(x=9.5)")
class Plunge:
    """The line behind which nothing is ground.

    Args:
        x: Where it meets the lower border of the steel, mm.
        lean_deg: From upright; positive where its upper end leans towards the tip.
        radius: Of the hollow that the rim of a belt or wheel leaves along it, mm; 0 is a sharp step.

    >>> Plunge(x=3.0, lean_deg=10.0, radius=4.0).lean_deg
    10.0
    """

    x: Coordinate
    lean_deg: Annotated[float, Between(-60.0, 60.0), InUnit("degrees")] = 0.0
    radius: Distance = 0.0


def _whole(bevel: object) -> object:
    """Refuse a face of the maker's own that does not answer all that a face is asked, or that may change later."""
    for face in bevel if isinstance(bevel, tuple | list) else (bevel,):
        if hasattr(face, "surface") and not isinstance(face, type) and (missing := lacks(face)):
            raise FieldError(f"tell what it lacks: {', '.join(missing)}").of_item(0, face)
    return bevel


@declared("grind", example="Grind(bevel=..., plunge=...)")
class Grind:
    """Faces in front of a plunge line, and how they come about.

    Args:
        bevel: A face, or several from the same edge of which at each place the one that takes off most counts.
        plunge: Where they end.
        only: The side that is ground where the other stays flat, as on a chisel; None grinds both alike.
        rough_edge: Thickness left at the edge before hardening, mm; None hardens the blade unground, its
            taper too.
        sharpen_deg: Angle of the sharpened facet to the middle plane, each side, degrees.

    Raises:
        ParameterError: Values that contradict each other.

    >>> from bladegeom import FlatBevel, Plunge
    >>> Grind(bevel=FlatBevel(height=17.0, edge_thickness=0.4), plunge=Plunge(x=3.0)).sharpen_deg
    18.0
    """

    bevel: Annotated[Face | tuple[Face, ...], Becomes(_whole), Like("FlatBevel(height=17, edge_thickness=0.4)")]
    plunge: Plunge
    only: Flank | None = None
    rough_edge: Distance | None = None
    sharpen_deg: Annotated[float, Between(3.0, 60.0), InUnit("degrees")] = 18.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "bevel", _with_those_above(self.faces))
        if not self.faces:
            raise ParameterError("grind: bevel", "()", "hold at least one face")
        if self.rough_edge is not None and self.rough_edge < self.first_edge:
            raise ParameterError(
                "grind: rough_edge",
                show_length(self.rough_edge),
                f"be at least the finished edge's thickness, {show_length(self.first_edge)}",
            )

    @property
    def faces(self) -> tuple[Face, ...]:
        """The faces as a tuple."""
        return self.bevel if isinstance(self.bevel, tuple) else (self.bevel,)

    @property
    def kind(self) -> str:
        """The faces in words."""
        words = " over ".join(face.kind for face in self.faces)
        return words if self.only is None else f"{words}, {self.only} side only"

    @property
    def edge_thickness(self) -> float:
        """Left at the edge when the faces are ground to size, mm."""
        return min(face.edge_thickness for face in self.faces)

    @property
    def first_edge(self) -> float:
        """Left at the edge by the face that is ground first, before any that is set below it, mm."""
        return max(face.edge_thickness for face in self.faces)

    def faces_at(self, stage: Stage, flank: Flank) -> tuple[Face, ...]:
        """The faces that a side has at a stage; none where it is flat."""
        if stage == "blank" or (stage == "rough" and self.rough_edge is None) or self.only not in (None, flank):
            return ()
        facet = (AngledBevel(angle_deg=self.sharpen_deg),) if stage == "sharp" else ()
        return (*self.faces, *facet)

    def raised_at(self, stage: Stage) -> float | tuple[float, ...]:
        """What is left on each face at a stage for grinding later, mm.

        Before hardening every face leaves the rough edge, so that those set below the first do not show yet.
        """
        if stage != "rough" or self.rough_edge is None:
            return 0.0
        part = 1.0 if self.only else 0.5
        return tuple(part * (self.rough_edge - face.edge_thickness) for face in self.faces)

    def require_fit(self, thickness: float, *, x: float | None = None) -> None:
        """Refuse an edge as thick as the stock or thicker.

        Args:
            thickness: Of the bar, or of the steel that a taper leaves at a station, mm.
            x: That station, mm.

        Raises:
            ParameterError: With both numbers, and the station.
        """
        where = "stock's thickness" if x is None else f"tapered stock's thickness at x {show_mm(x)} mm"
        # Where the taper leaves less than the rough edge, the edge is left for later as thick as the taper.
        rough = self.rough_edge if x is None else None
        for name, edge in (("edge_thickness", self.first_edge), ("rough_edge", rough or 0.0)):
            if not edge < thickness:
                raise ParameterError(
                    f"grind: {name}", show_length(edge), f"be less than the {where}, {show_length(thickness)}"
                )


def _with_those_above(faces: tuple[Face, ...]) -> tuple[Face, ...]:
    """Some faces, with those that one of them is declared to lie under."""
    over = (face.lies_under for face in faces)
    above = tuple(upper for upper in over if upper is not None and upper not in faces)
    return (*_with_those_above(above), *faces) if above else faces

"""What a ground face answers about itself. Nothing else in the library asks which kind of face it is."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Any, ClassVar, Protocol, runtime_checkable

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.bevels.sample_points import SamplePoints


class Section(Protocol):
    """Where a face shows along a line square to the edge; looked up when it is asked for."""

    @property
    def places(self) -> SamplePoints:
        """From the edge up to where the face ends, evenly."""
        ...


@dataclass(frozen=True, kw_only=True)
class Wheel:
    """The contact wheel that leaves a hollow.

    Args:
        diameter: Of the circle that the hollow lies on, or comes nearest to, mm.
        least: Of the wheels that leave the same hollow, mm.
        greatest: Likewise; infinite where a flat platen does.
        strays: How far the hollow strays from that circle, mm; 0 where it is declared by its wheel.
    """

    diameter: float
    least: float
    greatest: float
    strays: float = 0.0

    @property
    def is_declared(self) -> bool:
        """Whether the maker named the wheel, and no other will do."""
        return self.least == self.greatest


@runtime_checkable
class Face(Protocol):
    """A ground face: a frozen dataclass whose fields are what the maker declares.

    :class:`bladegeom.knife.bevels.by_heights.ByHeights` answers what follows from the heights alone.

    >>> from bladegeom import FlatBevel
    >>> face: Face = FlatBevel(height=17.0, edge_thickness=0.4)
    >>> face.kind, face.edge_thickness
    ('flat', 0.4)
    """

    __dataclass_fields__: ClassVar[dict[str, dataclasses.Field[Any]]]

    @property
    def kind(self) -> str:
        """One word for reports and sheets."""
        ...

    @property
    def edge_thickness(self) -> float:
        """Thickness of the steel that the face leaves at the edge, mm."""
        ...

    @property
    def height(self) -> float | None:
        """From the edge to where it is declared to end, mm; None where no height declares it."""
        ...

    @property
    def lies_under(self) -> Face | None:
        """The face that it is declared to be set below; None where it is declared by itself."""
        ...

    @property
    def arc_bulge(self) -> float | None:
        """Greatest distance of the face from its chord, where an arc with such a bulge declares it, mm; else None."""
        ...

    @property
    def edge_advice(self) -> str:
        """What to mend where the face does not come down to the edge; empty where there is nothing special to say."""
        ...

    def surface(self, at: SamplePoints) -> FloatArray:
        """Height of the face over the middle plane, shape (n,), mm.

        Continuous; above the stock's half-thickness where the face does not touch the stock.
        """
        ...

    def is_flat(self, section: Section, /) -> bool:
        """Whether a jig set to one angle grinds it; else its angle is that of its chord."""
        ...

    def wheel(self, section: Section, /) -> Wheel | None:
        """The contact wheel that it is ground on; None for a flat face, or one that bulges."""
        ...

    def of_height(self, height: float, /) -> Face:
        """The same face declared to end elsewhere; asked only of one that has a height.

        Raises:
            ParameterError: There is no such face.
        """
        ...


def lacks(face: object) -> tuple[str, ...]:
    """What a value must still answer to be a ground face, as names; empty where it is one."""
    names = (name for name in vars(Face) if not name.startswith("_"))
    lacking = tuple(name for name in names if not hasattr(face, name))
    declared = getattr(type(face), "__dataclass_params__", None)
    frozen = declared is not None and declared.frozen
    return lacking if frozen else ("@dataclass(frozen=True)", *lacking)

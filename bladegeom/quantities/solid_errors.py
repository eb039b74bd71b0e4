"""What keeps a part from becoming a solid: each says where."""

from __future__ import annotations

from bladegeom.quantities.errors import BladegeomError


class SolidError(BladegeomError, ValueError):
    """A part that the CAD kernel cannot make with true surfaces, or no kernel to make it with; nothing is written.

    >>> from bladegeom import SolidError
    >>> try:
    ...     raise SolidError("right scale: the kernel's solid is not sound; nothing was written")
    ... except BladegeomError as error:
    ...     print(error)
    ...
    right scale: the kernel's solid is not sound; nothing was written
    """


class MeshError(BladegeomError, ValueError):
    """A part of a knife that no closed mesh can stand for; ``at`` is the place where there is one, mm.

    >>> from bladegeom import MeshError
    >>> str(MeshError("right scale: its surface meets itself{at}; move the bore", (-20.0, -12.5)))
    'right scale: its surface meets itself near x -20.00, y -12.50 mm; move the bore'
    """

    def __init__(self, message: str, at: tuple[float, float] | None = None) -> None:
        self.at = at
        place = "" if at is None else f" near x {at[0]:.2f}, y {at[1]:.2f} mm"
        super().__init__(message.replace("{at}", place))

"""A picture of a knife in light, from Python and for the command line."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from bladegeom.design.design import Design
from bladegeom.knife.grind import Stage
from bladegeom.knife.knife import Knife
from bladegeom.pictures.painting import Painting, painting
from bladegeom.pictures.view import View
from bladegeom.quantities.declared import checked
from bladegeom.quantities.paths import path_of
from bladegeom.writers.files import require_ending, write_all


@dataclass(frozen=True, kw_only=True, eq=False)
class Picture(Painting):
    """Pixels that know where each place of the knife stands in them; a notebook shows it.

    >>> made = picture(design, width=600)
    >>> [path.name for path in made.save(folder / "knife.png")]
    ['knife.png']
    """

    def save(self, path: str | Path) -> tuple[Path, ...]:
        """Write it.

        Args:
            path: Ends with .png.

        Returns:
            What was written.

        Raises:
            ExportError: The name ends otherwise, something else stands in its place, or it cannot be written.
        """
        path = path_of("save", path)
        require_ending("save", path, ".png")
        return write_all(path.parent, {path.name: self.png()})


def picture(
    design: Design | Knife,
    view: View = "right",
    *,
    beside: Design | Knife | None = None,
    width: int = 2400,
    stage: Stage = "finished",
    hand: float | None = None,
) -> Picture:
    """A knife in light, shaded from the laws that weigh it. Colours and grain stand for the material.

    Args:
        design: The knife; as a design with its settings, and with the finish of its order and work.
        view: ``"right"``, ``"left"``, ``"spine"`` from above, ``"edge"`` from below, or ``"three-quarter"``.
        beside: Another knife, drawn below at the same scale.
        width: Pixels.
        stage: Of the work: "blank", "rough", "finished" or "sharp".
        hand: Breadth of a hand shown behind the handle, across the knuckles without the thumb, mm; None shows none.

    Returns:
        The pixels, with the scale and the way from a place in mm to a pixel.

    Raises:
        ParameterError: A width that is no picture's, or a hand where none can lie.
        UnknownNameError: No such view or stage.

    >>> made = picture(design, "spine", width=900)
    >>> made.pixels.shape[1], made.at([(0.0, 0.0, 0.0)]).shape
    (900, (1, 2))
    """
    checked("picture: design", design, Design | Knife)
    checked("picture: beside", beside, Design | Knife | None)
    shown = [each if isinstance(each, Design) else Design(each) for each in (design, beside) if each is not None]
    with shown[0].settings.in_force():
        made = painting(shown, view, width=width, stage=stage, hand=hand)
    return Picture(pixels=made.pixels, cameras=made.cameras, title=made.title)

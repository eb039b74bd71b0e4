"""The small picture of a step: what is meant, drawn from the knife's own geometry; steps that need none have none."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from bladegeom.book.heat_pictures import bow_picture, heat_picture
from bladegeom.book.section_pictures import (
    contour_picture,
    finish_picture,
    rough_picture,
    sharpen_picture,
)
from bladegeom.book.side_pictures import (
    cut_picture,
    drill_picture,
    fit_picture,
    hardness_picture,
    mark_picture,
    template_picture,
)
from bladegeom.drawing.drawing import Drawing, Item
from bladegeom.workshop.operation import Operation
from bladegeom.workshop.route import Route

_PICTURES: Final[dict[str, Callable[[Route, Operation], Iterator[Item]]]] = {
    "template": template_picture,
    "cut": cut_picture,
    "drill": drill_picture,
    "rough_grind": rough_picture,
    "heat_treat": heat_picture,
    "temper": hardness_picture,
    "straighten": bow_picture,
    "finish_grind": finish_picture,
    "mark": mark_picture,
    "dry_fit": fit_picture,
    "contour": contour_picture,
    "sharpen": sharpen_picture,
}
"""By the key of the step."""


def step_picture(work: Route, operation: Operation) -> Drawing | None:
    """The picture of a step, at its own place; None where it has none.

    Args:
        work: That it belongs to.
        operation: The step.
    """
    draw = _PICTURES.get(operation.key)
    items = () if draw is None or operation in work.own_steps else tuple(draw(work, operation))
    return Drawing(name=operation.title, items=items) if items else None

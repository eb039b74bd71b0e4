"""A bolt cut along its axis, with its dimensions."""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.drawing.dimension import Dimension
from bladegeom.fasteners.bolt.numbers import GRIP, HEAD_COVER, SHOULDER_GAP, STUD_ROOM, TAP_END, BoltNumbers
from bladegeom.fasteners.section_shapes import both, dimension_of, region_of
from bladegeom.fasteners.stack_parts import FastenerSection
from bladegeom.fasteners.stack_words import COUNTERBORE_DEPTH, ENGAGEMENT, FLOOR, HEAD_LEFT


def bolt_section(stack: BoltNumbers, finished: BaseGeometry) -> FastenerSection:
    """Both halves as they are ground, dashed as they are bought; the right half's stud is hidden in the left one."""
    layers, bolt = stack.layers, stack.hardware
    inside = layers.inside.nominal
    slab = inside + layers.slab.nominal
    half = shapely.union_all([region_of(ring) for solid in stack.solids for ring in solid.rings])
    seat, thread = slab - stack.counterbore_depth.nominal, bolt.screw.major / 2
    end = seat - bolt.shoulder_length
    stud = shapely.box(end - bolt.stud_length, -thread, end, thread)
    return FastenerSection(
        hatched=(),
        plain=both(half.intersection(finished)),
        dashed=(*both(half.boundary.difference(finished)), stud.boundary),
        above=_above(stack, inside, slab, seat),
        below=(
            dimension_of(SHOULDER_GAP, -end, end, thread),
            dimension_of(ENGAGEMENT, end - bolt.stud_length, -end, thread),
            dimension_of(STUD_ROOM, -end - bolt.stud_length, end - bolt.stud_length, thread),
            dimension_of(TAP_END, -(inside + stack.surface[0].nominal), -end - bolt.stud_length, thread),
            dimension_of(GRIP, -seat, seat, bolt.shoulder_diameter / 2),
        ),
    )


def _above(stack: BoltNumbers, inside: float, slab: float, seat: float) -> tuple[Dimension, ...]:
    bolt = stack.hardware
    shoulder, head = bolt.shoulder_diameter / 2, bolt.head_diameter / 2
    low, high = (inside + side.nominal for side in stack.surface)
    return (
        dimension_of(FLOOR, inside, seat, shoulder),
        dimension_of(COUNTERBORE_DEPTH, seat, slab, head),
        dimension_of(HEAD_LEFT, seat, low, head),
        dimension_of(HEAD_COVER, high, seat + bolt.head_height, head),
    )

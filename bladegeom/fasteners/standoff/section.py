"""A standoff and its screws cut along their axis, with their dimensions."""

from __future__ import annotations

import dataclasses
import math

import shapely
from shapely import Polygon

from bladegeom.drawing.dimension import Dimension
from bladegeom.fasteners.section_shapes import both, dimension_of
from bladegeom.fasteners.stack_parts import FastenerSection
from bladegeom.fasteners.stack_words import COUNTERSINK_DEPTH, ENGAGEMENT, FLOOR, POCKET_DEPTH
from bladegeom.fasteners.standoff.numbers import END_PLAY, POCKET_COVER, RECESS, SEAT_DEPTH, TIP_GAP, StandoffNumbers


def standoff_section(stack: StandoffNumbers) -> FastenerSection:
    """The sleeve cut, the screws whole; sunk below the finished scale, so that contouring takes nothing off them."""
    standoff = stack.hardware
    half, outer, bore = standoff.length / 2, standoff.diameter / 2, standoff.screw.minor / 2
    screws = both(_screw(stack))
    walls = [shapely.box(-half, low, half, high) for low, high in ((-outer, -bore), (bore, outer))]
    return FastenerSection(
        hatched=(shapely.union_all(walls).difference(shapely.union_all(screws)),),
        plain=screws,
        dashed=(),
        above=_above(stack),
        below=_below(stack),
    )


def _slab(stack: StandoffNumbers) -> float:
    """Height of the slab's outside, mm."""
    return stack.layers.inside.nominal + stack.layers.slab.nominal


def _screw(stack: StandoffNumbers) -> Polygon:
    """The right screw: head, cone and shank at the thread's outside."""
    standoff = stack.hardware
    head, shank = standoff.screw_head.sharp_diameter / 2, standoff.screw.major / 2
    top = _slab(stack) - stack.seat_depth.nominal
    neck = top - (head - shank) / math.tan(math.radians(standoff.screw_head.angle_deg / 2))
    tip = top - stack.screw.length
    right = [(top, head), (neck, shank), (tip, shank)]
    return Polygon([*right, *((x, -y) for x, y in reversed(right))])


def _above(stack: StandoffNumbers) -> tuple[Dimension, ...]:
    hole, head, pocket = (
        next(bore.diameter for bore in stack.layers.bores if bore.layer == "scale" and bore.shape == shape) / 2
        for shape in ("through hole", "countersink", "pocket")
    )
    inside, slab = stack.layers.inside.nominal, _slab(stack)
    floor, cone = inside + stack.pocket_depth.nominal, slab - stack.countersink_depth.nominal
    seat = slab - stack.seat_depth.nominal
    return (
        dimension_of(FLOOR, floor, cone, hole),
        dimension_of(POCKET_COVER, floor, inside + stack.layers.surface(2 * pocket)[0].nominal, pocket),
        dimension_of(POCKET_DEPTH, inside, floor, pocket),
        dimension_of(COUNTERSINK_DEPTH, cone, slab, hole),
        dimension_of(SEAT_DEPTH, seat, slab, head),
        dimension_of(RECESS, seat, inside + stack.surface[0].nominal, head),
    )


def _below(stack: StandoffNumbers) -> tuple[Dimension, ...]:
    standoff = stack.hardware
    floor, seat = stack.layers.inside.nominal + stack.pocket_depth.nominal, _slab(stack) - stack.seat_depth.nominal
    half, sleeve, shank = standoff.length / 2, standoff.diameter / 2, standoff.screw.major / 2
    tip, slid = seat - stack.screw.length, standoff.length - floor
    held = dimension_of(ENGAGEMENT, tip, slid, shank)
    return (
        dimension_of(TIP_GAP, -tip, tip, shank),
        dataclasses.replace(held, words=held.words + SLID),
        dimension_of(END_PLAY, half, floor, sleeve),
        Dimension(name="screw", words="screw over all", low=tip, high=seat, start=shank),
        Dimension(name="sleeve", words="standoff", low=-half, high=half, start=sleeve),
    )


SLID = ", sleeve slid away"
"""How the thread held is reckoned: the sleeve touches the far pocket's floor."""

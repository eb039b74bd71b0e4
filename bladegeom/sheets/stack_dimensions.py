"""What is dimensioned in a section through a fastener: each number from the geometry that it is the distance of."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np

from bladegeom.drawing.dimension import Dimension
from bladegeom.fasteners.stack_bolt import BoltStack
from bladegeom.fasteners.stack_rod import RodStack
from bladegeom.fasteners.stack_standoff import StandoffStack
from bladegeom.fasteners.stack_words import SLID, WORDS
from bladegeom.sheets.stack_shapes import StackShapes

Rows = tuple[tuple[Dimension, ...], tuple[Dimension, ...]]
"""Those above the section, and those below it, the ones nearest to it first."""

_NONE = 1e-6
"""A shorter distance is not drawn, mm."""


def dimensions(shapes: StackShapes) -> Rows:
    """All dimensions of a section."""
    match shapes.stack:
        case StandoffStack() as one:
            above, below = _standoff(shapes, one)
        case BoltStack() as one:
            above, below = _bolt(shapes, one)
        case RodStack() as one:
            above, below = _rod(shapes, one)
    return _drawn(above), _drawn((*below, *_layers(shapes)))


def _drawn(many: Sequence[Dimension]) -> tuple[Dimension, ...]:
    return tuple(one for one in many if abs(one.value) > _NONE)


def _of(name: str, low: float, high: float, start: float) -> Dimension:
    return Dimension(name=name, words=WORDS[name], low=low, high=high, start=start)


def _layers(shapes: StackShapes) -> tuple[Dimension, ...]:
    """Tang, liners and slab, at the lower border of the drawing."""
    low, top = shapes.window[0], float(np.interp(0.0, shapes.across, shapes.surface))
    half, inside, slab = shapes.half_tang, shapes.inside, shapes.slab_top
    return (
        Dimension(name="tang", words="tang", low=-half, high=half, start=low),
        Dimension(name="liner", words="liners", low=half, high=inside, start=low),
        Dimension(name="slab", words="slab as drilled", low=inside, high=slab, start=low),
        Dimension(name="total", words="finished handle at the axis", low=-top, high=top, start=0.0),
    )


def _standoff(shapes: StackShapes, one: StandoffStack) -> Rows:
    hole, head, pocket = (
        next(bore.diameter for bore in one.site.bores if bore.layer == "scale" and bore.shape == shape) / 2
        for shape in ("through hole", "countersink", "pocket")
    )
    inside, slab, half = shapes.inside, shapes.slab_top, one.standoff.length / 2
    floor, cone = inside + one.pocket_depth.nominal, slab - one.countersink_depth.nominal
    seat, sleeve = slab - one.seat_depth.nominal, one.standoff.diameter / 2
    tip, slid = seat - one.screw.length, one.standoff.length - floor
    shank = one.standoff.screw.major / 2
    above = (
        _of("floor", floor, cone, hole),
        _of("pocket_cover", floor, inside + one.site.surface(2 * pocket)[0].nominal, pocket),
        _of("pocket_depth", inside, floor, pocket),
        _of("countersink_depth", cone, slab, hole),
        _of("seat_depth", seat, slab, head),
        _of("recess", seat, inside + one.surface[0].nominal, head),
    )
    below = (
        _of("tip_gap", -tip, tip, shank),
        dataclasses.replace(_of("engagement", tip, slid, shank), words=WORDS["engagement"] + SLID),
        _of("end_play", half, floor, sleeve),
        Dimension(name="screw", words="screw over all", low=tip, high=seat, start=shank),
        Dimension(name="sleeve", words="standoff", low=-half, high=half, start=sleeve),
    )
    return above, below


def _bolt(shapes: StackShapes, one: BoltStack) -> Rows:
    inside, slab, bolt = shapes.inside, shapes.slab_top, one.bolt
    shoulder, head, thread = bolt.shoulder_diameter / 2, bolt.head_diameter / 2, bolt.screw.major / 2
    seat = slab - one.counterbore_depth.nominal
    end = seat - bolt.shoulder_length
    low, high = (inside + side.nominal for side in one.surface)
    above = (
        _of("floor", inside, seat, shoulder),
        _of("counterbore_depth", seat, slab, head),
        _of("head_left", seat, low, head),
        _of("head_cover", high, seat + bolt.head_height, head),
    )
    below = (
        _of("shoulder_gap", -end, end, thread),
        _of("engagement", end - bolt.stud_length, -end, thread),
        _of("stud_room", -end - bolt.stud_length, end - bolt.stud_length, thread),
        _of("tap_end", -low, -end - bolt.stud_length, thread),
        _of("grip", -seat, seat, shoulder),
    )
    return above, below


def _rod(shapes: StackShapes, one: RodStack) -> Rows:
    top, sawn, r = shapes.inside + one.surface[1].nominal, one.cut_length.nominal / 2, one.diameter / 2
    return (_of("length", -top, top, r), _of("cut_length", -sawn, sawn, r)), ()

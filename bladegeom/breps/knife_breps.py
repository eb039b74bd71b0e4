"""All parts of a knife at a stage as solids with true surfaces."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial

import numpy as np
from OCP import Standard
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Trsf
from OCP.TopoDS import TopoDS, TopoDS_Solid

from bladegeom.breps.layers import layer
from bladegeom.breps.plan import PlanCurve, cut, line_through
from bladegeom.breps.scale import scale_solid, whole_handle
from bladegeom.breps.sew import solid_between
from bladegeom.breps.steel import steel_solid
from bladegeom.breps.turned import WITHIN, cut_by, drilled_through, require_sound, shared, turned, volume
from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.stack import stacks
from bladegeom.fasteners.stack_parts import Solid
from bladegeom.handle.parts import bare_holes, handle_parts
from bladegeom.knife.grind import HANDLED, STAGES, Stage
from bladegeom.knife.hole import Hole, Opening
from bladegeom.knife.knife import Knife
from bladegeom.knife.scale_face import LaidSheet, ScaleFace
from bladegeom.mass.weigh import weigh
from bladegeom.quantities.errors import BladegeomError, UnknownNameError
from bladegeom.quantities.materials import Material
from bladegeom.quantities.solid_errors import SolidError
from bladegeom.solids.moments import Moments
from bladegeom.solids.revolve import Ring

_BEYOND = 1.0
"""Tools reach so far out of what they bore, mm."""

_OVER = 1.0
_KERNEL: tuple[type[Exception], ...] = tuple(
    each
    for name, each in vars(Standard).items()
    if name.startswith("Standard_") and isinstance(each, type) and issubclass(each, Exception)
)
"""Errors of the kernel; in Python they have no common root of their own."""

_STUMBLES: tuple[type[Exception], ...] = (*_KERNEL, np.linalg.LinAlgError, ValueError, LookupError, ArithmeticError)

_FAR = 200.0
"""Farther than any handle is thick, mm."""


@dataclass(frozen=True, kw_only=True, eq=False)
class BrepPart:
    """A part of the knife.

    Args:
        name: As of its mesh: "blade", "right scale", "left liner 1", "pin 2".
        material: What it is made of.
        solid: Of the kernel, mm.
    """

    name: str
    material: Material
    solid: TopoDS_Solid


def knife_breps(knife: Knife, stage: Stage = "finished") -> tuple[BrepPart, ...]:
    """Every part at a stage; before "finished" there is only the steel. Textures are left out.

    Raises:
        UnknownNameError: No such stage.
        SolidError: A part that the kernel cannot make soundly, or not as heavy as it is weighed.
    """
    if stage not in STAGES:
        raise UnknownNameError("stage", stage, STAGES)
    parts = [_steel(knife, stage)]
    if stage in HANDLED:
        parts += _handle(knife)
    return tuple(parts)


def _steel(knife: Knife, stage: Stage) -> BrepPart:
    where = f"blade, {stage}"
    with _told(where):
        high = knife.stock.thickness / 2 + _BEYOND
        tools = [drilled_through(opening, -high, high) for opening in knife.openings]
        solid = cut_by(steel_solid(knife, stage), tools, where)
        require_sound(solid, where, weigh(knife).stage(stage))
    return BrepPart(name="blade", material=knife.stock.material, solid=solid)


def _handle(knife: Knife) -> Iterator[BrepPart]:
    face = knife.scale_face
    weighed = {part.name: part.volume for part in handle_parts(knife)}
    if face is not None:
        with _told("scale"):
            scale = tuple(_pair("scale", face.scales.material, _scale(knife, face), weighed))
        with _told("liner"):
            liners = tuple(_liners(knife, face, weighed))
        yield from (*scale, *liners)
    with _told("hardware"):
        hardware = tuple(_hardware(knife))
    yield from hardware


@contextmanager
def _told(part: str) -> Iterator[None]:
    """What the kernel or the arithmetic before it stumbles over, told with the part that it was at."""
    try:
        yield
    except BladegeomError:
        raise
    except _STUMBLES as error:
        raise SolidError(
            f"{part}: no solid with true surfaces can be made of it ({type(error).__name__}: {error}); nothing was "
            "written; 3mf and stl hold it as triangles"
        ) from error


def _scale(knife: Knife, face: ScaleFace) -> TopoDS_Solid:
    solid = scale_solid(knife, floor=lambda x, _y: face.inside(x))
    low, high = _reach(knife, face)
    tools = [tool for stack in stacks(knife) for tool in turned(stack.removed, _place(stack), low, high)]
    return cut_by(solid, [*tools, *(drilled_through(hole, low, high) for hole in bare_holes(knife))], "scale")


def _liners(knife: Knife, face: ScaleFace, weighed: dict[str, Moments]) -> Iterator[BrepPart]:
    lift, liners = 0.0, face.scales.liners
    low, high = -_BEYOND, _reach(knife, face)[1]
    for number, liner in enumerate(liners, start=1):
        sheet = LaidSheet(stock=knife.stock, lift=lift, thickness=liner.thickness)
        plan = cut(knife.handle_loop, _stations(knife))
        layers = []
        for cell in range(len(plan.cells)):
            layers.append(layer(plan, cell, sheet.height, upper=True))
            layers.append(layer(plan, cell, partial(_inside, sheet), upper=False))
        name = "liner" if len(liners) == 1 else f"liner {number}"
        solid = cut_by(
            solid_between(plan, layers), [drilled_through(hole, low, high) for hole in _liner_holes(knife)], name
        )
        yield from _pair(name, liner.material, solid, weighed)
        lift += liner.thickness


def _inside(sheet: LaidSheet, x: FloatArray, _y: FloatArray) -> FloatArray:
    return sheet.inside(x)


def _stations(knife: Knife) -> list[PlanCurve]:
    x0, y0, x1, y1 = knife.outline.bounds
    ends = ((x, np.array([[x, y0 - _OVER], [x, y1 + _OVER]])) for x, _ in knife.stock.taper)
    return [line_through(places) for x, places in ends if x0 < x < x1]


def _liner_holes(knife: Knife) -> Iterator[Opening]:
    for fastener, bores in zip(knife.fasteners, knife.bores, strict=True):
        for bore in bores:
            if bore.layer == "liner":
                yield Hole(x=fastener.x, y=fastener.y, diameter=bore.diameter, purpose="fastener")
    yield from bare_holes(knife)


def _hardware(knife: Knife) -> Iterator[BrepPart]:
    """Pieces of every fastener, trimmed to the face that they are ground flush with."""
    found: list[tuple[str, str, Material, TopoDS_Solid]] = []
    whole: TopoDS_Solid | None = None
    for stack in stacks(knife):
        for solid in stack.solids:
            flush = _is_trimmed(stack, solid)
            if flush and whole is None:
                whole = _whole(knife)
            piece = _piece(solid, _place(stack), whole if flush else None)
            sides = ("",) if _passes(solid) else ("right ", "left ")
            pieces = (piece,) if _passes(solid) else (piece, _turned_over(piece))
            found += [(side, solid.name, solid.material, each) for side, each in zip(sides, pieces, strict=True)]
    _require_weighed(knife, found)
    most, seen = Counter((side, name) for side, name, *_ in found), Counter[tuple[str, str]]()
    for side, name, material, piece in found:
        seen[side, name] += 1
        number = f" {seen[side, name]}" if most[side, name] > 1 else ""
        full = f"{side}{_single(name)}{number}"
        require_sound(piece, full, None)
        yield BrepPart(name=full, material=material, solid=piece)


def _whole(knife: Knife) -> TopoDS_Solid:
    """What hardware is ground flush with: the handle between both faces, or the bare tang."""
    return steel_solid(knife, "finished") if knife.scale_face is None else whole_handle(knife)


def _piece(solid: Solid, centre: Vector, whole: TopoDS_Solid | None) -> TopoDS_Solid:
    passes = _passes(solid)
    rings = [*solid.rings, *(_mirrored(ring) for ring in solid.rings)] if passes else solid.rings
    made = turned(rings, centre, -_FAR if passes else 0.0, _FAR)
    if len(made) != 1:
        raise SolidError(f"{solid.name}: it is {len(made)} pieces, not one")
    return made[0] if whole is None else shared(whole, made[0], solid.name)


def _passes(solid: Solid) -> bool:
    """Whether it reaches the middle plane and so is one piece with its other half."""
    return any(ring.low == (0.0, 0.0) for ring in solid.rings)


def _is_trimmed(stack: Stack, solid: Solid) -> bool:
    """Whether it reaches the face and is ground flush with it."""
    widest = max(ring.outer for ring in solid.rings)
    lowest, _ = stack.layers.surface(2 * widest)
    face = stack.layers.inside.nominal + lowest.nominal
    return any(ring.high is None or max(ring.high) > face for ring in solid.rings)


def _mirrored(ring: Ring) -> Ring:
    low, high = ((None if slope is None else (-slope[0], -slope[1])) for slope in (ring.high, ring.low))
    return Ring(inner=ring.inner, outer=ring.outer, low=low, high=high)


def _single(name: str) -> str:
    """What a single one of "screws" is called."""
    return name.removesuffix("s") if not name.endswith("ss") else name


def _require_weighed(knife: Knife, found: list[tuple[str, str, Material, TopoDS_Solid]]) -> None:
    """Refuse hardware that does not hold as much as it was weighed with; alike pieces are weighed together."""
    for part in handle_parts(knife):
        pieces = [volume(piece) for _, name, material, piece in found if (name, material) == (part.name, part.material)]
        if pieces and abs(sum(pieces) / part.volume.amount - 1) > WITHIN:
            raise SolidError(
                f"{part.name}: the kernel's solids hold {sum(pieces):.1f} mm3 where {part.volume.amount:.1f} mm3 were "
                "weighed; nothing was written"
            )


def _reach(knife: Knife, face: ScaleFace) -> tuple[float, float]:
    """Heights that lie clear under and over the scale."""
    scales = face.scales
    return -_BEYOND, knife.stock.thickness / 2 + scales.liner + scales.thickness + _BEYOND


def _place(stack: Stack) -> Vector:
    return stack.layers.fastener.x, stack.layers.fastener.y


def _pair(name: str, material: Material, right: TopoDS_Solid, weighed: dict[str, Moments]) -> Iterator[BrepPart]:
    require_sound(right, f"right {name}", weighed[f"right {name}"])
    yield BrepPart(name=f"right {name}", material=material, solid=right)
    yield BrepPart(name=f"left {name}", material=material, solid=_turned_over(right))


def _turned_over(solid: TopoDS_Solid) -> TopoDS_Solid:
    """Mirrored in the middle plane."""
    mirror = gp_Trsf()
    mirror.SetMirror(gp_Ax2(gp_Pnt(0.0, 0.0, 0.0), gp_Dir(0.0, 0.0, 1.0)))
    return TopoDS.Solid(BRepBuilderAPI_Transform(solid, mirror, True).Shape())

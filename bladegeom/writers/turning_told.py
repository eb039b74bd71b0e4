"""What the page to turn a knife in is told: parts by stage, where they go when taken apart, findings, places."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any, Final

import numpy as np

from bladegeom.design.design import Design
from bladegeom.knife.finding import Finding
from bladegeom.knife.grind import HANDLED, Stage
from bladegeom.knife.knife import Knife
from bladegeom.mass.weigh import Weighing
from bladegeom.meshes.knife_mesh import KnifeMesh
from bladegeom.meshes.mesh_part import MeshPart
from bladegeom.pictures.finish import finish_of
from bladegeom.pictures.lit import NEAR
from bladegeom.pictures.studio import told_studio
from bladegeom.quantities.appearances import appearance_of
from bladegeom.quantities.units import show_mass
from bladegeom.sheets.proof_marks import middle_height
from bladegeom.solids.mesh import Mesh
from bladegeom.solids.part import G_PER_MM3
from bladegeom.writers.packed_meshes import STEP, packed_meshes

Told = dict[str, Any]

_OUTWARDS: Final = {"liner": 1, "scale": 2, "hardware": 3}
"""In which order the layers of a side are drawn off the steel."""

_GAP = 12.0
"""Between a part and the next one outwards, where they are farthest apart, mm; own choice by eye."""

_STUDIO_STEPS = 128
"""Of the tables of light, as fine as what is sharpest in them."""

_FRONT_PLACES = 21

_SAME_LAYER = 0.01
"""Parts whose middles lie this near to each other across the knife are drawn off together, mm."""


def turning_told(design: Design, stages: Mapping[Stage, KnifeMesh], *, customer: bool) -> tuple[Told, str]:
    """What the page's script reads, and the packed meshes that it points into.

    Args:
        design: The knife, and what follows from it.
        stages: Its meshes, in the order of the work.
        customer: Whether findings are left out.
    """
    lists = _by_part(stages)
    meshes, numbers = _numbered(lists)
    packed = packed_meshes(meshes)
    corners = np.concatenate([mesh.vertices[:, :3] for mesh in meshes])
    low, high = corners.min(axis=0), corners.max(axis=0)
    apart = _apart({name: _last(parts) for name, parts in lists.items()})
    told = {
        "units": design.settings.units,
        "step": STEP,
        "stages": list(stages),
        "meshes": packed.told,
        "parts": [
            {**_part(parts, design, tuple(stages)), "meshes": numbers[name], "apart": apart[name]}
            for name, parts in lists.items()
        ],
        "totals": [show_mass(_total(design.weighing, stage, made)) for stage, made in stages.items()],
        "low": low.tolist(),
        "high": high.tolist(),
        "balance": [float(value) for value in design.weighing.total.centre],
        "studio": {**told_studio(_STUDIO_STEPS), "near": NEAR},
        "front": _front(design.knife),
        "findings": None if customer else [_finding(each, design) for each in design.findings],
    }
    return told, packed.letters


def _front(knife: Knife) -> list[float]:
    """The handle front as x over y: the coefficients of the parabola that is nearest to it, from the constant up."""
    front = knife.front_line.vertices
    y = np.linspace(front[:, 1].min(), front[:, 1].max(), _FRONT_PLACES)
    order = front[:, 1].argsort()
    return [float(c) for c in np.polyfit(y, np.interp(y, *front[order].T[::-1]), 2)[::-1].round(6)]


def _by_part(stages: Mapping[Stage, KnifeMesh]) -> dict[str, list[MeshPart | None]]:
    """Each part at each stage, None where it is not there yet."""
    held = [{part.name: part for part in made.parts} for made in stages.values()]
    names = dict.fromkeys(name for parts in held for name in parts)
    return {name: [parts.get(name) for parts in held] for name in names}


def _numbered(lists: Mapping[str, Sequence[MeshPart | None]]) -> tuple[list[Mesh], dict[str, list[int | None]]]:
    """All meshes, and their numbers by part; where a stage changes nothing of a part it has the same mesh."""
    meshes: list[Mesh] = []
    numbers: dict[str, list[int | None]] = {}
    for name, parts in lists.items():
        known: dict[bytes, int] = {}
        numbers[name] = []
        for part in parts:
            if part is None:
                numbers[name].append(None)
                continue
            mark = part.mesh.vertices.tobytes() + part.mesh.triangles.tobytes() + part.mesh.normals.tobytes()
            if mark not in known:
                known[mark] = len(meshes)
                meshes.append(part.mesh)
            numbers[name].append(known[mark])
    return meshes, numbers


def _part(parts: Sequence[MeshPart | None], design: Design, stages: Sequence[Stage]) -> Told:
    here = _last(parts)
    is_steel, finish = here.kind == "steel", finish_of(design)
    return {
        "name": here.name,
        "kind": here.kind,
        "material": here.material.name,
        "look": asdict(appearance_of(here.material)),
        # As much of the light as in the picture; not before the surface is finished.
        "light": [
            (finish.light, finish.tang_light) if is_steel and stage in HANDLED else (1.0, 1.0) for stage in stages
        ],
        "spread": finish.spread,
        "lengthwise": finish.lengthwise,
        "masses": [
            None if part is None else show_mass(_mass(part, design.weighing, stage))
            for part, stage in zip(parts, stages, strict=True)
        ],
    }


def _last(parts: Sequence[MeshPart | None]) -> MeshPart:
    """A part as it is in the end."""
    return next(part for part in reversed(parts) if part is not None)


def _mass(part: MeshPart, weighing: Weighing, stage: Stage) -> float:
    """Of the steel as it is weighed, g; of another part by its mesh, which is within 0.05 % of that."""
    volume = weighing.stage(stage) if part.kind == "steel" else part.mesh.moments
    return volume.amount * part.material.density_g_cm3 * G_PER_MM3


def _total(weighing: Weighing, stage: Stage, made: KnifeMesh) -> float:
    """Of all that is there at a stage as it is weighed, g."""
    steel = weighing.stage(stage).amount * weighing.knife.stock.material.density_g_cm3 * G_PER_MM3
    is_whole = any(part.kind != "steel" for part in made.parts)
    return steel + (weighing.total.amount - weighing.blade.mass.amount if is_whole else 0.0)


def _apart(parts: Mapping[str, MeshPart]) -> dict[str, float]:
    """How far out each part goes when they are taken apart, mm, negative to the left: clear of what lies under it."""
    middles = {name: part.mesh.moments.centre[2] for name, part in parts.items()}
    out = dict.fromkeys((name for name, part in parts.items() if part.kind == "steel"), 0.0)
    steel = max(parts[name].mesh.vertices[:, 2].max() for name in out)
    for side in (1.0, -1.0):
        # What goes through both sides is drawn out to the right.
        here = [name for name in parts if parts[name].kind != "steel" and (middles[name] < -_SAME_LAYER) == (side < 0)]
        layers: dict[tuple[int, int], list[str]] = {}
        for name in here:
            layers.setdefault(_layer(parts[name], middles[name]), []).append(name)
        end = steel
        for _, names in sorted(layers.items()):
            ends = side * np.concatenate([parts[name].mesh.vertices[:, 2] for name in names])
            way = max(end + _GAP - ends.min(), 0.0)
            end = max(end, ends.max() + way)
            out |= dict.fromkeys(names, float(side * way))
    return out


def _layer(part: MeshPart, middle: float) -> tuple[int, int]:
    """Layers of liners one over the other are told apart; screws go ahead of what they are screwed into."""
    depth = round(abs(middle) / _SAME_LAYER)
    return _OUTWARDS[part.kind], min(depth, 1) if part.kind == "hardware" else depth


def _finding(finding: Finding, design: Design) -> Told:
    place = None  # else in the middle plane, where it stays when the parts are taken apart
    if finding.x is not None:
        y = middle_height(design.knife, finding.x) if finding.y is None else finding.y
        place = [finding.x, y, 0.0]
    return {"severity": finding.severity, "code": finding.code, "message": finding.message, "at": place}

"""Whether the faces do what was declared: each touches the steel, and together they bring the edge down to size."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from bladegeom.curves.curve import FloatArray
from bladegeom.grinding.thickness import thickness
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length, show_mm
from bladegeom.solids.panels import columns_of

_STEP = 0.5
"""Places along the edge are at most this far apart, mm."""

_TIP = 1.0
"""So near to the tip a grind line may run out into the edge, mm."""

_PANEL = 6.0
_PROBES = 40
"""Where faces are compared: four columns a panel along x, mm, and this many places up each."""

_LEAD = 1e-6
"""A face must be lower than those named before it by this much to count, mm."""

_SOURCE = "geometry of the declared bevel"
_ORDINALS = ("first", "second", "third")


def _errors(knife: Knife) -> Iterator[str]:
    """Codes of the errors, for which the faces need not be set beside each other."""
    ahead = _edge_ahead(knife)
    return (finding.code for finding in _thick_edge(knife, ahead)) if len(ahead) else iter(())


@rule(
    Code("edge-not-ground", ("error",), "the edge stays thicker than declared somewhere"),
    Code("face-never-shows", ("warning",), "a face takes nothing off anywhere"),
    follows=("bevel",),
    errors=_errors,
)
def check_edge(knife: Knife) -> Iterator[Finding]:
    """All findings about an edge that stays thick and about faces that do nothing."""
    ahead = _edge_ahead(knife)
    if len(ahead):
        yield from _thick_edge(knife, ahead)
        yield from _unseen_faces(knife, ahead)


def _thick_edge(knife: Knife, ahead: FloatArray) -> Iterator[Finding]:
    left = thickness(knife, "finished", ahead[:, 0], ahead[:, 1])
    wanted = knife.grind.edge_thickness
    thick = np.flatnonzero(left > wanted + SHOP)
    told = (face.edge_advice for face in knife.grind.faces if face.edge_advice)
    why = next(told, "the faces do not come down to the edge there; mend the bevel")
    for stretch in np.split(thick, np.flatnonzero(np.diff(thick) > 1) + 1):
        if not len(stretch):
            continue
        i = int(stretch[left[stretch].argmax()])
        first, last = sorted(ahead[stretch[[0, -1]], 0].tolist())
        yield Finding(
            code="edge-not-ground",
            severity="error",
            part="blade",
            message=(
                f"from x {show_mm(first)} to {show_mm(last)} mm the edge does not come down to "
                f"{show_length(wanted)}: at x {show_mm(ahead[i, 0])} mm {show_length(float(left[i]))} are left; {why}"
            ),
            measured=float(left[i]),
            limit=wanted,
            source=_SOURCE,
            x=float(ahead[i, 0]),
            y=float(ahead[i, 1]),
        )


def _unseen_faces(knife: Knife, ahead: FloatArray) -> Iterator[Finding]:
    faces = knife.grind.faces
    if len(faces) < 2:
        return
    columns = columns_of(knife.bevel_region, (), _PANEL)
    share = np.linspace(0.0, 1.0, _PROBES)
    y = (columns.low[:, None] + (columns.high - columns.low)[:, None] * share).ravel()
    x = np.repeat(columns.x, _PROBES)
    laws = knife.side("finished", knife.grind.only or "right").laws(
        np.concatenate([ahead[:, 0], x]), np.concatenate([ahead[:, 1], y])
    )
    # Of faces that lie alike the one named first counts.
    lowest = (laws + _LEAD * np.arange(len(laws))[:, None]).argmin(axis=0)
    for i, face in enumerate(faces):
        if (lowest == i + 1).any():
            continue
        which = _ORDINALS[i] if i < len(_ORDINALS) else f"{i + 1}th"
        yield Finding(
            code="face-never-shows",
            severity="warning",
            part="blade",
            message=(
                f"the {which} face, {face.kind} with an edge of {show_length(face.edge_thickness)}, never touches the "
                "steel: the others take more off everywhere; it is left out. Change its angle or its edge, or remove it"
            ),
            measured=face.edge_thickness,
            limit=knife.grind.edge_thickness,
            source=_SOURCE,
            x=float(ahead[0, 0]),
            y=float(ahead[0, 1]),
        )


def _edge_ahead(knife: Knife) -> FloatArray:
    """Places on the edge ahead of the plunge line and the hollow along it, but for the tip, shape (n, 2), mm."""
    edge = shapely.get_coordinates(shapely.segmentize(shapely.LineString(knife.outline.edge_points), _STEP))
    side = knife.side("finished", "right")
    past = (edge - np.array(side.foot)) @ np.array(side.ahead)
    from_tip = np.hypot(*(edge - np.array(knife.outline.tip)).T)
    return np.asarray(edge[(past > max(side.plunge_radius, SHOP)) & (from_tip > _TIP)])

"""What the faces leave of the steel: at the edge, in the hollow, at the spine, before hardening."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

import numpy as np
import numpy.typing as npt
import shapely

from bladegeom.curves.build import direction
from bladegeom.curves.curve import FloatArray
from bladegeom.grinding.grind_sheet import GrindSheet, grind_sheet
from bladegeom.grinding.thickness import thickness
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.tolerances import JOINED, SHOP
from bladegeom.quantities.units import show_angle, show_length, show_mm
from bladegeom.solids.panels import columns_of

_PANEL = 12.0
_PROBES = 12
"""Where walls are looked at: four columns a panel along x, mm, and this many places up each."""

_SPINE_STEP = 0.5
"""Places along the spine where the steel is looked at are at most this far apart, mm."""

_SHORT = 0.1
"""An arc that ends this far below its declared height, mm, is worth a word; own choice."""

_NO_BULGE = 0.0005
"""A bulge that prints as nought is none, mm."""

_AT_EDGE = 0.05
"""Slopes of faces are taken over this way, mm."""

_SAME_DEG = 0.01

_TIP = 1.0
"""So near to the tip spine and edge are as good as one, mm."""

LEAST_SPINE = 0.5
"""A spine thinner than this part of the stock at the plunge line is taken for a slip; own choice."""


def _errors(knife: Knife) -> Iterator[str]:
    """Codes of the errors, which come of the thickness alone: no section is laid through the faces for them."""
    found = itertools.chain(_wall(knife), _spine(knife))
    return (finding.code for finding in found if finding.severity == "error")


@rule(
    Code("no-steel-left", ("error",), "the faces meet, and nothing is left between them"),
    Code("thin-wall", ("error",), "the ground steel is thinner than the edge itself"),
    Code("bevel-above-blade", ("error",), "the bevel is declared higher than the blade"),
    Code("bevel-reaches-spine", ("note",), "the bevel thins the spine"),
    Code("edge-thin-before-hardening", ("warning",), "the edge is thin when it goes to hardening"),
    Code("bulge-ends-low", ("warning",), "a convex face ends lower than declared"),
    Code("facet-flatter-than-bevel", ("warning",), "the sharpened facet lies flatter than the bevel"),
    follows=("bevel",),
    errors=_errors,
)
def check_steel(knife: Knife) -> Iterator[Finding]:
    """All findings about what is left of the steel."""
    yield from _wall(knife)
    yield from _spine(knife)
    yield from _before_hardening(knife)
    yield from _arcs(knife)
    yield from _facet(knife)


def _wall(knife: Knife) -> Iterator[Finding]:
    """Nowhere may the ground steel be thinner than its edge."""
    columns = columns_of(knife.bevel_region, (), _PANEL)
    share = np.linspace(0.0, 1.0, _PROBES)
    y = (columns.low[:, None] + (columns.high - columns.low)[:, None] * share).ravel()
    x = np.repeat(columns.x, _PROBES)
    sheet = grind_sheet(knife)
    if any(face.wheel(sheet.section(face)) for face in knife.grind.faces):
        # The bottom of a hollow may lie between two probes.
        walls = np.array([s.place(np.array([s.wall[1]])) for s in sheet.stations])[:, :, 0]
        x, y = np.concatenate([x, walls[:, 0]]), np.concatenate([y, walls[:, 1]])
    left = thickness(knife, "finished", x, y)
    i, edge = int(left.argmin()), knife.grind.edge_thickness
    if left[i] >= edge - SHOP:
        return
    height = float(knife.outline.edge_line().distances(x[i : i + 1], y[i : i + 1])[0])
    gone = left[i] <= 0
    where = f"at x {show_mm(x[i])} mm, {show_length(height)} above the edge"
    yield Finding(
        code="no-steel-left" if gone else "thin-wall",
        severity="error",
        part="blade",
        message=(
            f"the faces meet {where}: no steel is left there; a larger wheel, a lower bevel or a thicker edge leaves "
            "some"
            if gone
            else f"the wall is {show_length(float(left[i]))} {where}, thinner than the edge itself, "
            f"{show_length(edge)}; a larger wheel or a lower bevel leaves more"
        ),
        measured=float(left[i]),
        limit=edge,
        source="geometry of the declared bevel",
        x=float(x[i]),
        y=float(y[i]),
    )


def _spine(knife: Knife) -> Iterator[Finding]:
    """Where the faces reach the spine the steel there is thinner than the bar: legal, but worth knowing."""
    ahead = _spine_ahead(knife)
    stock = 2 * knife.stock.half_thickness(ahead[:, 0])
    left = thickness(knife, "finished", ahead[:, 0], ahead[:, 1])
    from_tip = np.hypot(*(ahead - np.array(knife.outline.tip)).T)
    thin = np.flatnonzero((left < stock - SHOP) & (from_tip > _TIP))
    for stretch in np.split(thin, np.flatnonzero(np.diff(thin) > 1) + 1):
        if len(stretch):
            at_tip = bool(from_tip[stretch[0]] < _TIP + 2 * _SPINE_STEP)
            yield _thin_stretch(knife, ahead, stock, left, stretch, at_tip=at_tip)


def _thin_stretch(
    knife: Knife, ahead: FloatArray, stock: FloatArray, left: FloatArray, stretch: npt.NDArray[np.intp], *, at_tip: bool
) -> Finding:
    """One stretch of thin spine; the places run from the tip backwards."""
    front, rear = int(stretch[0]), int(stretch[-1])
    to_plunge = rear == len(ahead) - 1
    i = rear if at_tip or to_plunge else int(stretch[left[stretch].argmin()])
    thinner = f"the spine is {show_length(float(left[i]))} thick instead of {show_length(float(stock[i]))}"
    slip = to_plunge and left[i] < LEAST_SPINE * stock[i]
    if slip:
        text = f"is higher than the blade: at the plunge line {thinner}; lower it, or use FullFlat, which ends there"
    elif to_plunge:
        where = "all along" if at_tip else f"from x {show_mm(ahead[front, 0])} mm to the plunge line"
        lost = show_length(float(stock[i] - left[i]))
        text = f"reaches the spine {where}: at the plunge line {thinner}, {lost} less{_too_high(knife, ahead[i])}"
    elif at_tip:
        text = f"reaches the spine from x {show_mm(ahead[rear, 0])} mm to the tip: the spine thins from there on"
    else:
        between = f"between x {show_mm(ahead[rear, 0])} and {show_mm(ahead[front, 0])} mm"
        text = f"reaches the spine {between}: at x {show_mm(ahead[i, 0])} mm {thinner}"
    return Finding(
        code="bevel-above-blade" if slip else "bevel-reaches-spine",
        severity="error" if slip else "note",
        part="blade",
        message=f"the bevel {text}",
        measured=float(left[i]),
        limit=float(stock[i]) * (LEAST_SPINE if slip else 1.0),
        source="geometry of the declared bevel",
        x=float(ahead[i, 0]),
        y=float(ahead[i, 1]),
    )


def _too_high(knife: Knife, spine: FloatArray) -> str:
    """The declared height of a bevel that is more than the blade has below a place of its spine, in words."""
    declared = max((face.height or 0.0 for face in knife.grind.faces), default=0.0)
    blade = float(knife.outline.edge_line().distances(spine[:1], spine[1:])[0])
    if declared <= blade + SHOP:
        return ""
    return f"; its declared height, {show_length(declared)}, is more than the blade has there, {show_length(blade)}"


def _spine_ahead(knife: Knife) -> FloatArray:
    """Places on the spine in front of the plunge line, shape (n, 2), from the tip to the plunge line's upper end."""
    end = np.array(knife.plunge_line.end)
    dx, dy = direction(90.0 - knife.grind.plunge.lean_deg)
    past = np.array([dy, -dx])
    spine = shapely.get_coordinates(shapely.segmentize(shapely.LineString(knife.spine_points), _SPINE_STEP))
    radius = knife.grind.plunge.radius
    ahead = spine[(spine - end) @ past > max(radius, JOINED)]
    # The plunge line's own end counts as just in front of it, but not where a hollow along it leads up to the stock.
    return ahead if radius else np.concatenate([ahead, (end + 1e-6 * past)[None]])


def _before_hardening(knife: Knife) -> Iterator[Finding]:
    rough, shop = knife.grind.rough_edge, knife.shop
    if not knife.stock.hardens or rough is None or rough >= shop.least_edge_before_hardening - SHOP:
        return
    (x, y), limit = knife.outline.heel, shop.least_edge_before_hardening
    yield Finding(
        code="edge-thin-before-hardening",
        severity="warning",
        part="blade",
        message=(
            f"the edge is {show_length(rough)} thick when it goes to hardening, less than {show_length(limit)}: it may "
            f"warp or crack in the quench; leave {show_length(limit)}, or harden the blade unground (rough_edge=None)"
        ),
        measured=rough,
        limit=limit,
        source="common practice, no source: 0.5 to 0.8 mm for an oil quench",
        x=x,
        y=y,
    )


def _arcs(knife: Knife) -> Iterator[Finding]:
    """A convex face that would bulge over the stock, or over the face above, ends lower than it was declared."""
    if not any(face.arc_bulge for face in knife.grind.faces):
        return
    sheet = grind_sheet(knife)
    first = sheet.first
    reached = [(lower.face, lower.height) for lower in sheet.lower]
    reached += [(face, first.grind_line or math.inf) for face in knife.grind.faces]
    for face, height in reached:
        bulge, declared = face.arc_bulge, face.height
        if bulge is None or declared is None or height > declared - _SHORT:
            continue
        yield Finding(
            code="bulge-ends-low",
            severity="warning",
            part="blade",
            message=(
                f"the {face.kind} face with a bulge of {show_length(bulge)} ends {show_length(height)} above the "
                f"edge at x {show_mm(first.x)} mm, not {show_length(declared)}: farther up it would stand out; "
                f"{_way_out(_most_bulge(sheet, face, declared), height)}"
            ),
            measured=height,
            limit=declared,
            source="geometry of the declared bevel",
            x=first.foot[0],
            y=first.foot[1],
        )


def _way_out(bulge: float, height: float) -> str:
    if bulge < _NO_BULGE:
        return f"no bulge reaches so far under what lies above it; declare a height of {show_length(height)}"
    return f"a bulge of {bulge:.3f} mm reaches as far as declared"


def _most_bulge(sheet: GrindSheet, face: Face, height: float) -> float:
    """The bulge with which an arc comes in tangent to what is above it, mm.

    Source: closed form: an arc that meets its chord c at an angle a has a sagitta of c / 2 tan(a / 2).
    """
    d = np.array([0.0, height - _AT_EDGE, height])
    stock, own = sheet.laws([face], d)
    above = stock if face.lies_under is None else sheet.laws([face.lies_under], d)[1]
    rise = float(above[2] - own[0])
    angle = math.atan2(rise, height) - math.atan2(float(above[2] - above[1]), _AT_EDGE)
    return math.hypot(rise, height) / 2 * math.tan(max(angle, 0.0) / 2)


def _facet(knife: Knife) -> Iterator[Finding]:
    """An edge sharpened flatter than the face at the edge would take that face away."""
    sheet = grind_sheet(knife)
    laws = sheet.laws(knife.grind.faces, np.array([0.0, _AT_EDGE]))
    low, above = laws[1:].min(axis=0).tolist()
    angle, sharpen = math.degrees(math.atan2(above - low, _AT_EDGE)), knife.grind.sharpen_deg
    if angle <= sharpen + _SAME_DEG:
        return
    yield Finding(
        code="facet-flatter-than-bevel",
        severity="warning",
        part="blade",
        message=(
            f"sharpened at {show_angle(sharpen)} degrees a side the facet lies flatter than the bevel at the edge, "
            f"{show_angle(angle)} degrees: it takes the bevel away; sharpen at more than {show_angle(angle)} degrees"
        ),
        measured=sharpen,
        limit=angle,
        source="geometry of the declared bevel",
        x=sheet.first_line[0][0],
        y=sheet.first_line[0][1],
    )

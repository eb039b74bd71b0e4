"""Weighing a blade, against the same solid in a CAD kernel: python benchmarks/weigh_against_brep.py (needs build123d).

Medians, and in brackets the least, which a busy machine spoils less; nothing is asserted. A run starts from the arrays
of Bezier control points and ends with volume, centroid and matrix of inertia of the finished steel; imports are not
counted. Here that includes checking the outline. On the kernel's side only half of the thickness is built, every
boolean that can be spared is spared, and the mass properties are integrated once.
"""

from __future__ import annotations

import math
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np
import numpy.typing as npt
from build123d import Compound, Edge, Face, Plane, SkipClean, Solid, Vector, Wire
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps

from bladegeom import (
    ConvexBevel,
    Curve,
    FlatBevel,
    Grind,
    HollowBevel,
    Knife,
    Outline,
    Plunge,
    Stock,
    join_halves,
    profiles,
    weigh,
)
from bladegeom.knife.bevels.face import Face as GroundFace
from bladegeom.outline.outline import CURVE_NAMES
from bladegeom.solids.columns import missing

Array = npt.NDArray[np.float64]
Properties = tuple[float, Array, Array]
"""Volume, centroid (3,), and matrix of inertia about the centroid (3, 3), mm, for a density of 1."""

RUNS = 15
PANELS = (12.0, 6.0, 3.0, 1.5)
FINE = 0.1
"""Panel of the integral that the others are measured against, mm."""

FAR = 500.0


@dataclass(frozen=True, kw_only=True)
class Case:
    """What both sides are given: pieces by the names of the curves, and numbers in mm and degrees."""

    name: str
    pieces: dict[str, Array]
    thickness: float
    height: float
    edge_thickness: float
    lean_deg: float

    @property
    def flat(self) -> FlatBevel:
        return FlatBevel(height=self.height, edge_thickness=self.edge_thickness)

    def knife(self, bevel: GroundFace) -> Knife:
        lines = {name: Curve(pieces) for name, pieces in self.pieces.items()}
        outline = Outline(
            edge=lines["edge"],
            spine=lines["spine"],
            handle_top=lines["handle_top"],
            butt=lines["butt"],
            handle_underside=lines["handle_underside"],
            choil=lines["choil"],
        )
        return Knife(
            name=self.name,
            outline=outline,
            stock=Stock(steel="1084", thickness=self.thickness),
            grind=Grind(bevel=bevel, plunge=Plunge(x=outline.heel[0], lean_deg=self.lean_deg)),
        )


def case(blade: str, handle: str, thickness: float, height: float, edge_thickness: float, lean_deg: float) -> Case:
    """Profiles as they come, the plunge line at the heel."""
    outline = join_halves(profiles.get(blade)(), profiles.get(handle)())
    return Case(
        name=f"{blade}, plunge {'upright' if lean_deg == 0 else f'leaning {lean_deg:g} deg'}",
        pieces={name: getattr(outline, name).pieces for name in CURVE_NAMES},
        thickness=thickness,
        height=height,
        edge_thickness=edge_thickness,
        lean_deg=lean_deg,
    )


def by_weighing(given: Case, bevel: GroundFace) -> Properties:
    """Here: curves, a checked outline, a knife, and its weight, all anew."""
    finished = weigh(given.knife(bevel)).finished
    second = finished.central()
    return finished.amount, np.array(finished.centre), np.trace(second) * np.eye(3) - second


def by_kernel(given: Case) -> Properties:
    """The upper half: the outline extruded, less a section that is swept along the edge."""
    half, low = given.thickness / 2, given.edge_thickness / 2
    loop = [edge for pieces in given.pieces.values() for edge in _edges(pieces)]
    plate = Solid.extrude(Face(Wire(loop)), Vector(0, 0, half))
    first, last = given.pieces["edge"][0], given.pieces["edge"][-1]
    heel, tip = Vector(*first[0]), Vector(*last[3])
    along, out = Vector(*(first[1] - first[0])), Vector(*(last[3] - last[2])).normalized()
    square = Plane(heel, x_dir=Vector(-along.Y, along.X), z_dir=along)
    slope, reach = (half - low) / given.height, given.height + 1.0
    corners = [(-1.0, low - slope), (reach, low + slope * reach), (-1.0, low + slope * reach)]
    section = Face(Wire.make_polygon([(d, z, 0.0) for d, z in corners])).moved(square.location)
    chip = Solid.sweep(section, Wire([*_edges(given.pieces["edge"]), Edge.make_line(tip, tip + out)]))
    with SkipClean():
        if given.lean_deg:
            chip = _only(chip & _ahead(heel, given.lean_deg))
        steel = _only(plate - chip)
    return _doubled(steel)


def _ahead(heel: Vector, lean_deg: float) -> Solid:
    """The half space in front of the plunge line."""
    a = math.radians(lean_deg)
    corner = heel - FAR * Vector(math.sin(a), math.cos(a)) - Vector(0, 0, FAR)
    plane = Plane(corner, x_dir=Vector(math.cos(a), -math.sin(a)), z_dir=Vector(0, 0, 1))
    return Solid.make_box(2 * FAR, 2 * FAR, 2 * FAR, plane)


def _only(result: Solid | Compound | None) -> Solid:
    """The one solid that a boolean yields."""
    assert result is not None
    (solid,) = result.solids()
    return solid


def _doubled(half: Solid) -> Properties:
    """Of a solid and its mirror image in z = 0, by one integration and the parallel axes' theorem."""
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(half.wrapped, found)
    centre, matrix = found.CentreOfMass(), found.MatrixOfInertia()
    inertia = 2 * np.array([[matrix.Value(i, j) for j in (1, 2, 3)] for i in (1, 2, 3)])
    volume, z = 2 * found.Mass(), centre.Z()
    inertia[:2, 2] = inertia[2, :2] = 0.0
    inertia += volume * z * z * np.diag([1.0, 1.0, 0.0])
    return volume, np.array([centre.X(), centre.Y(), 0.0]), inertia


def _edges(pieces: Array) -> list[Edge]:
    return [Edge.make_bezier(*((float(x), float(y), 0.0) for x, y in piece)) for piece in pieces]


def milliseconds(action: Callable[[], object]) -> tuple[float, float]:
    """Median and least wall time after a first run that does not count."""
    action()
    taken = []
    for _ in range(RUNS):
        start = time.perf_counter()
        action()
        taken.append(time.perf_counter() - start)
    return 1e3 * statistics.median(taken), 1e3 * min(taken)


def compare(given: Case) -> None:
    """One row: both times, their ratio, and how far the two results lie apart."""
    ours, least_ours = milliseconds(lambda: by_weighing(given, given.flat))
    theirs, least_theirs = milliseconds(lambda: by_kernel(given))
    (v, c, i), (w, d, j) = by_weighing(given, given.flat), by_kernel(given)
    inertia = np.abs(np.diag(i) / np.diag(j) - 1).max()
    print(
        f"{given.name:<34} {ours:6.1f} ({least_ours:4.1f}) ms {theirs:6.0f} ({least_theirs:3.0f}) ms "
        f"{theirs / ours:5.1f} ({least_theirs / least_ours:4.1f})   "
        f"{abs(v / w - 1):8.1e} {np.abs(c - d).max():9.4f} mm {inertia:8.1e}"
    )


def bevels(given: Case) -> dict[str, GroundFace]:
    """Kinds of bevel on one blade."""
    size = {"height": given.height, "edge_thickness": given.edge_thickness}
    return {
        "flat": given.flat,
        "hollow": HollowBevel(wheel_diameter=254.0, **size),
        "convex": ConvexBevel(bulge=0.25, **size),
    }


def kinds(given: Case) -> None:
    """What a round face costs against a flat one."""
    faces = bevels(given)
    times = [milliseconds(partial(by_weighing, given, face)) for face in faces.values()]
    print(f"\n{'bevel, ' + given.name:<34} {'here':>16} {'to flat':>14}")
    for name, (spent, least) in zip(faces, times, strict=True):
        print(f"{name:<34} {spent:6.1f} ({least:4.1f}) ms {spent / times[0][0]:7.2f} ({least / times[0][1]:4.2f})")


def convergence(kind: str, given: Case, face: GroundFace) -> None:
    """One row: volume of the steel by panels of several widths against very fine ones, on the same polygon."""
    knife = given.knife(face)
    fine = _volume(knife, FINE)
    row = "".join(f"{_volume(knife, panel) / fine - 1:11.1e}" for panel in PANELS)
    print(f"{kind + ', ' + given.name:<44}{row}")


def _volume(knife: Knife, panel: float) -> float:
    half = knife.stock.thickness / 2
    off = missing(knife.bevel_region, knife.side("finished", "right"), half, panel=panel)[0, 0]
    return float(2 * half * knife.outline.area - 2 * off)


def main() -> None:
    """Print the tables."""
    drop_point = [case("drop_point", "swelled", 4.0, 17.0, 0.4, lean) for lean in (0.0, 15.0, -20.0)]
    chef = case("chef", "birds_head", 2.5, 43.0, 0.25, 0.0)
    petty = case("petty", "straight", 2.0, 26.0, 0.2, 0.0)
    print(
        f"Bezier pieces to volume, centroid, inertia of the finished steel; flat bevel; median (least) of {RUNS} runs"
    )
    print(f"{'':<34} {'here':>16} {'CAD kernel':>15} {'ratio':>12}   {'volume':>8} {'centroid':>12} {'inertia':>8}")
    for given in (*drop_point[:2], petty, chef):
        compare(given)
    kinds(drop_point[0])
    title = f"volume against panels of {FINE:g} mm"
    print(f"\n{title:<44}" + "".join(f"{panel:>8g} mm" for panel in PANELS))
    for given in drop_point:
        for kind, face in bevels(given).items():
            convergence(kind, given, face)
    for given in (petty, chef):
        convergence("flat", given, given.flat)


if __name__ == "__main__":
    main()

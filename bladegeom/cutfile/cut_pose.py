"""How the outline of a cut file lies to the design's: as it stands, moved, turned, mirrored or at another scale."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import STRtree

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.curves.polyline import Polyline
from bladegeom.quantities.tolerances import ARC_FIT

_SAMPLE_POINTS = 1000
"""So many places of a file's outline are laid on the design's."""

_STEPS = 40
"""Laying on is repeated no more often; from the start below it takes about ten rounds."""

_ROUNDS = 20
"""And so often is the greatest distance levelled."""

_LEFT_OUT = 3.0
"""Places farther off than so many times the median do not pull: a changed tip must not turn the whole; own choice."""

_STILL = 1e-7
"""A step of less ends it, mm and rad."""


_BETTER = 1.2
"""A simpler pose is taken where no other is nearer by this factor; own choice."""

_SCALED = 0.005
"""Sizes off by more than this share, all alike, are a matter of scale; own choice."""

_SQUARE = 1e-9


@dataclass(frozen=True, kw_only=True, eq=False)
class Pose:
    """From the design's frame to the file's: mirrored left to right or not, turned, made larger, moved.

    Args:
        mirrored: Whether left and right are exchanged before anything else.
        turn_deg: By how much it is then turned to the left.
        factor: Size in the file over size in the design.
        shift: How far it is then moved, mm, shape (2,).
    """

    mirrored: bool = False
    turn_deg: float = 0.0
    factor: float = 1.0
    shift: FloatArray

    @property
    def matrix(self) -> FloatArray:
        """Without the shift, shape (2, 2)."""
        c, s = math.cos(math.radians(self.turn_deg)), math.sin(math.radians(self.turn_deg))
        flip = -1.0 if self.mirrored else 1.0
        return self.factor * np.array([[flip * c, -s], [flip * s, c]])

    def in_design(self, xy: FloatArray) -> FloatArray:
        """Places of the file (n, 2) in the design's frame."""
        return np.asarray(np.linalg.solve(self.matrix, (xy - self.shift).T).T)

    def in_file(self, xy: FloatArray) -> Vector:
        """A place of the design in the file's frame."""
        x, y = self.matrix @ xy + self.shift
        return float(x), float(y)

    @property
    def words(self) -> str:
        """How it lies, "" where it is neither turned nor mirrored."""
        turn = f"{abs(self.turn_deg):.2f}".rstrip("0").rstrip(".")
        turned = "" if turn == "0" else f"turned by {turn} degrees"
        if turned and turn != "180":
            turned += " to the left" if self.turn_deg > 0 else " to the right"
        if not self.mirrored:
            return turned
        if turn == "180":
            return "mirrored top to bottom"
        return "mirrored left to right" + (f" and {turned}" if turned else "")


@dataclass(frozen=True, eq=False)
class _Mass:
    """Area, centre and second moments of what a line encloses."""

    area: float
    centre: FloatArray
    spread: FloatArray


def scale_of(file: FloatArray, design: FloatArray) -> float:
    """The factor by which a part is larger, 1 where it is as it should be or another shape.

    Args:
        file: Points of its outline, shape (n, 2), mm.
        design: The same of the design.
    """
    a, b = _mass(file), _mass(design)
    if not (a.area > 0 and b.area > 0):
        return 1.0
    broad = np.linalg.eigvalsh(a.spread) / np.maximum(np.linalg.eigvalsh(b.spread), 1e-30)
    factors = np.array([math.sqrt(a.area / b.area), *np.sqrt(np.sqrt(np.maximum(broad, 0.0)))])
    alike = bool(np.ptp(factors) <= _SCALED * factors[0])
    return float(factors[0]) if alike and abs(factors[0] - 1) > _SCALED else 1.0


def find_pose(file: FloatArray, design: FloatArray, factor: float) -> Pose:
    """The simplest pose that lays a design's outline on a file's as well as any.

    Args:
        file: Points of its outline, shape (n, 2), mm.
        design: The same of the design.
        factor: By which the file's is larger.
    """
    sample_points = file[np.linspace(0, len(file), min(_SAMPLE_POINTS, len(file)), endpoint=False).astype(np.int64)]
    still = Pose(factor=factor, shift=np.zeros(2))
    if factor == 1 and _apart(sample_points, design) <= ARC_FIT:
        return still
    line = _Line(design)
    poses = [
        still,
        *(_laid(start, sample_points, line, free=k > 0) for k, start in enumerate(_starts(file, design, factor))),
    ]
    off = np.array([_off(pose, sample_points, line) for pose in poses])
    best = poses[int(np.flatnonzero(off <= _BETTER * off.min() + ARC_FIT / 2)[0])]
    return best if best is still else _levelled(best, sample_points, line)


def _apart(places: FloatArray, xy: FloatArray) -> float:
    """Greatest distance of some places from a closed line of chords, both shape (n, 2), mm."""
    return float(Polyline(np.concatenate([xy, xy[:1]])).distances(*places.T).max())


def _starts(file: FloatArray, design: FloatArray, factor: float) -> Iterator[Pose]:
    """Centre on centre: not turned, then long axis on long axis, both ways round, then the same mirrored."""
    a, b = _mass(file), _mass(design)
    for mirrored in (False, True):
        axis = _axis(b.spread) * (-1.0 if mirrored else 1.0)
        turns = [_axis(a.spread) - axis + half for half in (0.0, 180.0)]
        turns.sort(key=lambda turn: abs(math.remainder(turn, 360.0)))
        for turn in turns if mirrored else [0.0, *turns]:
            pose = Pose(mirrored=mirrored, turn_deg=math.remainder(turn, 360.0), factor=factor, shift=np.zeros(2))
            yield dataclasses.replace(pose, shift=a.centre - pose.matrix @ b.centre)


class _Line:
    """A closed line of chords to lay places on."""

    def __init__(self, xy: FloatArray) -> None:
        self._start, chord = xy, np.roll(xy, -1, axis=0) - xy
        self._length = np.maximum(np.hypot(*chord.T), 1e-12)
        self._along = chord / self._length[:, None]
        self._tree = STRtree(np.asarray(shapely.linestrings(np.stack([xy, xy + chord], axis=1))))

    def miss(self, xy: FloatArray) -> tuple[FloatArray, FloatArray]:
        """From the nearest place of the line to each of some places (n, 2), and the direction square to it there."""
        k = self._tree.nearest(shapely.points(xy))
        arm, along = xy - self._start[k], self._along[k]
        foot = np.clip((arm * along).sum(axis=1), 0.0, self._length[k])
        return arm - foot[:, None] * along, np.stack([-along[:, 1], along[:, 0]], axis=1)


def _laid(pose: Pose, sample_points: FloatArray, line: _Line, *, free: bool) -> Pose:
    """The pose moved, and turned where it is free to, until the file's places lie on the design's line.

    Gauss and Newton on the distances square to the line; places that are far off for another reason are left out.
    """
    for _ in range(_STEPS):
        xy = pose.in_design(sample_points)
        arm, normal = line.miss(xy)
        off = np.hypot(*arm.T)
        kept = (off <= max(_LEFT_OUT * float(np.median(off)), _STILL)).astype(np.float64)
        step = _step(xy, arm, normal, kept, free=free)
        pose = _stepped(pose, step)
        if np.abs(step).max() < _STILL:
            break
    return pose


def _levelled(pose: Pose, sample_points: FloatArray, line: _Line) -> Pose:
    """The pose with the least greatest distance of those places that are not far off.

    Source: Lawson's weights: each place pulls by how far off it was, multiplied up (from memory).
    """
    off = np.hypot(*line.miss(pose.in_design(sample_points))[0].T)
    weight = (off <= max(_LEFT_OUT * float(np.median(off)), 2 * ARC_FIT)).astype(np.float64)
    sample_points, weight = sample_points[weight > 0], weight[weight > 0]
    best, least = pose, float(off.max())
    for _ in range(_ROUNDS):
        xy = pose.in_design(sample_points)
        arm, normal = line.miss(xy)
        off = np.hypot(*arm.T)
        if off.max() < least:
            best, least = pose, float(off.max())
        weight = weight * (off + _STILL)
        weight /= weight.sum()
        pose = _stepped(pose, _step(xy, arm, normal, weight, free=True))
    return best


def _step(xy: FloatArray, arm: FloatArray, normal: FloatArray, weight: FloatArray, *, free: bool) -> FloatArray:
    """The small move, mm, and turn, rad, of the file in the design's frame that brings places nearer, shape (3,)."""
    around = normal[:, 1] * xy[:, 0] - normal[:, 0] * xy[:, 1]
    columns = np.column_stack([normal, around] if free else [normal])
    root = np.sqrt(weight)
    step = np.linalg.lstsq(root[:, None] * columns, -root * (normal * arm).sum(axis=1), rcond=1e-9)[0]
    return np.append(step, np.zeros(3 - len(step)))


def _stepped(pose: Pose, step: FloatArray) -> Pose:
    """The pose for which the file lies turned and moved by so little more in the design's frame."""
    flip = -1.0 if pose.mirrored else 1.0
    turn_deg = math.remainder(pose.turn_deg - flip * math.degrees(step[2]), 360.0)
    turned = dataclasses.replace(pose, turn_deg=turn_deg)
    return dataclasses.replace(turned, shift=pose.shift - turned.matrix @ step[:2])


def _off(pose: Pose, sample_points: FloatArray, line: _Line) -> float:
    """How far half of the places are off at most, mm of the design."""
    return float(np.median(np.hypot(*line.miss(pose.in_design(sample_points))[0].T)))


def _axis(spread: FloatArray) -> float:
    """Direction of the long axis, degrees."""
    return math.degrees(0.5 * math.atan2(2 * spread[0, 1], spread[0, 0] - spread[1, 1]))


def _mass(xy: FloatArray) -> _Mass:
    """Of a closed line of chords, shape (n, 2), by Green's theorem."""
    middle = xy.mean(axis=0)
    p = xy - middle
    q = np.roll(p, -1, axis=0)
    cross = p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]
    area = float(cross.sum()) / 2
    if abs(area) < _SQUARE:
        return _Mass(0.0, middle, np.zeros((2, 2)))
    centre = ((p + q) * cross[:, None]).sum(axis=0) / (6 * area)
    both = np.einsum("ni,nj->nij", p, p) + np.einsum("ni,nj->nij", q, q)
    mixed = np.einsum("ni,nj->nij", p, q)
    spread = ((2 * both + mixed + mixed.transpose(0, 2, 1)) * cross[:, None, None]).sum(axis=0) / 24
    return _Mass(abs(area), centre + middle, np.sign(area) * spread - abs(area) * np.outer(centre, centre))

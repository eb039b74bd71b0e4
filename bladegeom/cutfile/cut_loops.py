"""From the lines of a cut file to loops: loose lines and arcs are chained, and every gap on the way is kept."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely import Polygon

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.curves.segment_pairs import near_pairs
from bladegeom.curves.segments import Segments, joined_segments
from bladegeom.importers.cut_plan import Chain, CutPlan
from bladegeom.quantities.tolerances import CHORD

JOIN = 0.05
"""Ends no farther apart are one place, mm. Source: one importer of a cutting service closes 0.002 in."""

REACH = 2.0
"""Ends that lie no farther apart were meant to meet, mm; own choice. Beyond JOIN the gap is an error."""

EXACT = 1e-6
"""Ends no farther apart do meet, mm: the strictest importer known asks for that."""

MOST_PAIRS = 1_000_000
"""Pairs of ends or lines near each other that are looked at; own choice."""


@dataclass(frozen=True, kw_only=True)
class Gap:
    """Two ends that were meant to meet, mm."""

    size: float
    first: Vector
    second: Vector

    @property
    def middle(self) -> Vector:
        """Half way, mm."""
        return (self.first[0] + self.second[0]) / 2, (self.first[1] + self.second[1]) / 2


@dataclass(frozen=True, kw_only=True, eq=False)
class Loop:
    """Lines and arcs that follow each other.

    Args:
        segments: In order; counter-clockwise where they close.
        chains: Indices of the file's chains that it was made of.
        closed: Whether the last end is the first start, gaps up to REACH bridged.
        kind: "circle", "polyline" or, where it was chained here, "loose".
        gaps: Wider than JOIN, bridged by straight lines that are not cut.
    """

    segments: Segments
    chains: tuple[int, ...]
    closed: bool
    kind: str
    gaps: tuple[Gap, ...] = ()

    @property
    def pierces(self) -> int:
        """How often a machine starts a cut along it: once for each piece between gaps."""
        return max(1, len(self.gaps) + (not self.closed))

    @cached_property
    def cut_length(self) -> float:
        """Length of what is cut, mm: gaps are not."""
        return float(self.segments.length.sum()) - sum(gap.size for gap in self.gaps)

    @cached_property
    def polygon(self) -> Polygon:
        """The inside, within 0.005 mm; an open one is closed by a straight line. It may cross itself, or be empty."""
        if self.circle is not None:
            x, y, r = self.circle
            steps = math.ceil(math.pi / 4 / math.acos(max(0.7, 1 - CHORD / r)))
            return shapely.Point(x, y).buffer(r, quad_segs=steps)
        xy, _ = self.segments.flattened(CHORD)
        xy = np.concatenate([xy, self.segments.end[-1:]])
        return Polygon(xy) if len(xy) > 3 else Polygon()

    @cached_property
    def circle(self) -> tuple[float, float, float] | None:
        """Centre and radius where it is one circle, mm."""
        if self.kind != "circle":
            return None
        (x, y), r = self.segments.centre[0], self.segments.radius[0]
        return float(x), float(y), float(r)

    @cached_property
    def place(self) -> Vector:
        """Centre of a circle, else the first start, mm."""
        if self.circle is not None:
            return self.circle[:2]
        return _vector(self.segments.start[0])


@dataclass(frozen=True, kw_only=True)
class Loops:
    """What the lines of a file form.

    Args:
        loops: Closed ones and open ones.
        gaps: Ends that were joined over more than EXACT.
        forks: Places where more than two ends meet.
        joints: Pairs of ends that were joined: (chain, 0 at its start or 1 at its end) each.
    """

    loops: tuple[Loop, ...]
    gaps: tuple[Gap, ...]
    forks: tuple[Vector, ...]
    joints: tuple[tuple[tuple[int, int], tuple[int, int]], ...]


_End = int
"""Number of an end: twice the chain's place in the list of open ones, plus 1 for its last end."""


def find_loops(plan: CutPlan, chains: Sequence[int], *, reach: float = REACH) -> Loops | None:
    """Loops of some chains of a file; None where so many ends lie together that they cannot be told apart.

    Args:
        plan: The file.
        chains: Indices of those to look at.
        reach: Ends no farther apart were meant to meet, mm; more than REACH where a file has wide tabs.
    """
    whole = [i for i in chains if plan.chains[i].closed]
    loose = [i for i in chains if not plan.chains[i].closed and plan.chains[i].segments.length.sum() > JOIN]
    ends = np.array([xy for i in loose for xy in _ends(plan.chains[i])]).reshape(-1, 2)
    pairs = near_pairs(np.asarray(shapely.points(ends)), reach=reach, most=MOST_PAIRS)
    if pairs is None:
        return None
    apart = np.hypot(*(ends[pairs[0]] - ends[pairs[1]]).T)
    order = np.argsort(apart, kind="stable")
    near = [(float(apart[k]), int(pairs[0][k]), int(pairs[1][k])) for k in order if apart[k] <= reach]
    headings = [angle for i in loose for angle in _headings(plan.chains[i])]
    forks = [group for group in _groups(len(ends), near) if len(group) > 2]
    links = _links(near, headings, [plan.chains[i] for i in loose])
    loops = [_whole(plan.chains[i], i) for i in whole]
    loops += [
        _chained(plan, [(loose[k], back) for k, back in path], closed=closed)
        for path, closed in _paths(links, len(loose))
    ]
    gaps = [
        Gap(size=d, first=_vector(ends[a]), second=_vector(ends[b]))
        for d, a, b in near
        if d > EXACT and links.get(a) == b
    ]
    joints = [((loose[a // 2], a % 2), (loose[b // 2], b % 2)) for a, b in links.items() if a <= b]
    joints += [((loose[g[0] // 2], g[0] % 2), (loose[e // 2], e % 2)) for g in forks for e in g[1:]]
    return Loops(
        loops=tuple(loops),
        gaps=tuple(gaps),
        forks=tuple(_vector(ends[group[0]]) for group in forks),
        joints=tuple(joints),
    )


def _ends(chain: Chain) -> tuple[FloatArray, FloatArray]:
    return chain.segments.start[0], chain.segments.end[-1]


def _headings(chain: Chain) -> tuple[float, float]:
    """Direction out of the chain at its first and at its last end, rad."""
    return float(chain.segments.leaving[0] + math.pi), float(chain.segments.arriving[-1])


def one_place(count: int, pairs: Iterable[tuple[int, int]]) -> list[int]:
    """A label for each of so many things: the same for those that pairs join, directly or over others."""
    over = list(range(count))

    def root(i: int) -> int:
        while over[i] != i:
            over[i] = over[over[i]]
            i = over[i]
        return i

    for a, b in pairs:
        over[root(b)] = root(a)
    return [root(i) for i in range(count)]


def _groups(count: int, near: Iterable[tuple[float, _End, _End]]) -> list[list[_End]]:
    """Ends that are one place."""
    out: dict[int, list[_End]] = {}
    for i, label in enumerate(one_place(count, ((a, b) for apart, a, b in near if apart <= JOIN))):
        out.setdefault(label, []).append(i)
    return list(out.values())


def _links(
    near: Sequence[tuple[float, _End, _End]], headings: Sequence[float], chains: Sequence[Chain]
) -> dict[_End, _End]:
    """Which end goes on with which: those that touch first, the straightest way on before others."""

    def rank(link: tuple[float, _End, _End]) -> tuple[int, float, float]:
        apart, a, b = link
        turn = abs(math.remainder(headings[a] - headings[b] + math.pi, 2 * math.pi))
        return (0, turn, apart) if apart <= JOIN else (1, apart, turn)

    links: dict[_End, _End] = {}
    for apart, a, b in sorted(near, key=rank):
        # A short stroke is not closed onto itself by its own other end.
        own = a // 2 == b // 2 and (apart > JOIN or len(chains[a // 2].segments) == 1)
        own = own and float(chains[a // 2].segments.length.sum()) < 4 * apart + JOIN
        if not own and a not in links and b not in links:
            links[a], links[b] = b, a
    return links


def _paths(links: dict[_End, _End], count: int) -> Iterator[tuple[list[tuple[int, bool]], bool]]:
    """Chains that follow each other, each with whether it is run backwards, and whether the last leads to the first."""
    seen: set[int] = set()
    free = [e for e in range(2 * count) if e not in links]
    for first in (*free, *range(0, 2 * count, 2)):
        if first // 2 in seen:
            continue
        path, end, closed = [], first, False
        while True:
            seen.add(end // 2)
            path.append((end // 2, bool(end % 2)))
            following = links.get(end ^ 1)
            if following is None:
                break
            if following // 2 in seen:
                closed = following == first
                break
            end = following
        yield path, closed


def _whole(chain: Chain, index: int) -> Loop:
    kind = "circle" if chain.kind == "circle" else "polyline"
    return Loop(segments=_left_turning(chain.segments), chains=(index,), closed=True, kind=kind)


def _chained(plan: CutPlan, path: Sequence[tuple[int, bool]], *, closed: bool) -> Loop:
    """One loop of chains, gaps closed: those up to JOIN by moving the start, others by a line."""
    parts = [plan.chains[i].segments.reversed() if back else plan.chains[i].segments for i, back in path]
    joined: list[Segments] = []
    gaps: list[Gap] = []
    for k, part in enumerate(parts):
        before = parts[k - 1].end[-1:]
        apart = float(np.hypot(*(part.start[0] - before[0])))
        if (k or closed) and apart > JOIN:
            joined.append(Segments(before, part.start[:1], np.zeros(1)))
            gaps.append(Gap(size=apart, first=_vector(before[0]), second=_vector(part.start[0])))
        joined.append(part)
    whole = joined_segments(joined)
    start = np.concatenate([whole.end[-1:] if closed else whole.start[:1], whole.end[:-1]])
    whole = Segments(start, whole.end, whole.bulge)
    kind = "polyline" if len(path) == 1 else "loose"
    indices = tuple(i for i, _ in path)
    turned = _left_turning(whole) if closed else whole
    return Loop(segments=turned, chains=indices, closed=closed, kind=kind, gaps=tuple(gaps))


def _left_turning(segments: Segments) -> Segments:
    """The same loop, counter-clockwise by the area of its chords and of what its arcs stand over them."""
    if len(segments) == 2 and (segments.bulge == 1.0).all():
        return segments
    (x0, y0), (x1, y1) = (segments.start - segments.start[0]).T, (segments.end - segments.start[0]).T
    area = float((x0 * y1 - x1 * y0).sum()) / 2
    r = np.where(segments.straight, 0.0, segments.radius)
    area += float((r * r * (segments.sweep - np.sin(segments.sweep))).sum()) / 2
    return segments if area >= 0 else segments.reversed()


def _vector(xy: FloatArray) -> Vector:
    return float(xy[0]), float(xy[1])

"""How much can be taken out of the fixed tangs at most: run offline, ``python tests/reference_placing/reference.py``.

``--search`` repeats the search alone and keeps what the program found before; names of tangs may follow.

It shares no code with placing: distances come from Shapely, rules are written out here again. Two ways for each tang:

- an integer program (HiGHS, through SciPy): places on a grid, a reduced list of sizes, one binary for each place with
  each size. Discs grown by half the web may cover any point of a grid only once, and the holes that one upright line
  cuts leave their share of the height. Both are necessary, so the solver's bound holds for every legal set on that grid
  with those sizes. The solution is mended where two grown discs overlap between the points.
- a long search: fill, clear a random window, fill again, all sizes of the index, from several seeds and from the mended
  solution of the integer program on places 0.5 mm apart, and from several seeds on places 0.25 mm apart.

Written to ``reference.csv`` tang by tang: the areas in mm2, the bound, the solver's own gap, and the seconds taken. The
bound holds for the program's own places and sizes alone: holes between them can take out more, and do.
"""

from __future__ import annotations

import csv
import math
import sys
import time
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt
import shapely
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array, vstack
from scipy.spatial import cKDTree

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from tangs import TANGS, knife_of  # noqa: E402

from bladegeom.knife.knife import Knife  # noqa: E402

Array = npt.NDArray[np.float64]
Found = list[tuple[float, float, float]]

RESULTS = HERE / "reference.csv"
FIELDS = ("tang", "steel", "best", "by", "search", "program", "bound", "gap", "sizes", "grid", "seconds")

GRID = 1.5
"""Places of the integer program are this far apart, mm; the points that may be covered once, half as far."""

SOLVER_SECONDS = 50.0
SEARCH_SECONDS = 36.0
SEEDS = (1, 2, 3)
MOST_SIZES = 8


class Tang(NamedTuple):
    """What a search needs to know."""

    xy: Array
    room: Array
    radii: Array
    web: float
    stations: Array
    left: Array


def tang_of(knife: Knife, step: float) -> Tang:
    """Places with the largest radius that each allows by itself, and the chord sum that each upright line may lose."""
    rules, t = knife.rules, knife.stock.thickness
    web, rim = max(rules.web, rules.per_thickness * t), max(rules.rim, rules.per_thickness * t)
    process = knife.shop.process
    least = max(process.smallest_hole, process.smallest_hole_per_thickness * t)
    radii = np.unique([d.diameter / 2 for d in knife.shop.sizes_for_lightening if d.diameter >= least])
    x0, y0, x1, y1 = knife.handle_region.bounds
    gx, gy = np.meshgrid(np.arange(x0, x1, step), np.arange(y0, y1, step), indexing="ij")
    xy = np.stack([gx.ravel(), gy.ravel()], axis=1)
    steel = knife.outline.polygon
    xy = xy[shapely.contains_xy(steel, xy[:, 0], xy[:, 1])]
    border = shapely.distance(shapely.points(xy), steel.exterior) - 0.005
    assert rules.edge_table is None
    room = np.minimum(border - rim, border / (2 * rules.edge_distance_per_diameter))
    a = math.radians(knife.front_lean_deg)
    assert knife.front_bow == 0
    room = np.minimum(room, -(xy[:, 0] * math.cos(a) - xy[:, 1] * math.sin(a)) - rules.clear_strip)
    stations = np.arange(x0 + 0.05, x1, 0.25)
    upper, lower = knife.outline.tang_height(stations)
    left = (1 - rules.net_width) * (upper - lower)
    for hole in knife.openings:
        room = np.minimum(room, np.hypot(xy[:, 0] - hole.x, xy[:, 1] - hole.y) - hole.diameter / 2 - web)
        left = left - chord(stations - hole.x, hole.diameter / 2)
    room = np.minimum(room, by_width(xy[:, 0], stations, left))
    keep = room >= radii[0]
    return Tang(xy[keep], room[keep], radii, web, stations, left)


def chord(across: Array, radius: float) -> Array:
    return np.asarray(2 * np.sqrt(np.maximum(radius * radius - across * across, 0.0)))


def by_width(x: Array, stations: Array, left: Array) -> Array:
    """Largest radius at each x whose chord is nowhere more than is left."""
    at, back = np.unique(x, return_inverse=True)
    apart = (at[:, None] - stations) ** 2
    return np.asarray(np.sqrt((np.maximum(left, 0.0) ** 2 / 4 + apart).min(axis=1))[back])


# The long search.


def fill(tang: Tang, found: Found, low: float, high: float, cap: float, way: Array) -> Found:
    """Holes added between two x: the largest up to a cap first, ties along a direction."""
    inside = (tang.xy[:, 0] >= low) & (tang.xy[:, 0] <= high)
    xy, room, left = tang.xy[inside], tang.room[inside].copy(), tang.left.copy()
    for x, y, r in found:
        room = np.minimum(room, np.hypot(xy[:, 0] - x, xy[:, 1] - y) - r - tang.web)
        left = left - chord(tang.stations - x, r)
    out = list(found)
    if not len(xy):
        return out
    near = (tang.stations > low - 15) & (tang.stations < high + 15)
    stations, left = tang.stations[near], left[near]
    room = np.minimum(room, by_width(xy[:, 0], stations, left))
    key = xy @ way
    while True:
        k = int(np.searchsorted(tang.radii, min(float(room.max()), cap) + 1e-9, side="right")) - 1
        if k < 0:
            return out
        r = float(tang.radii[k])
        candidates = np.flatnonzero(room >= r - 1e-9)
        p = candidates[key[candidates].argmin()]
        x, y = xy[p].tolist()
        out.append((x, y, r))
        room = np.minimum(room, np.hypot(xy[:, 0] - x, xy[:, 1] - y) - r - tang.web)
        left = left - chord(stations - x, r)
        room = np.minimum(room, by_width(xy[:, 0], stations, left))


def narrow(knife: Knife, found: Found) -> bool:
    """Whether some upright line loses too much, looked for where pairs are deepest together."""
    holes = np.array([*found, *((h.x, h.y, h.diameter / 2) for h in knife.openings)])
    x, r = holes[:, 0], holes[:, 2]
    pairs = (x[:, None] * r + x * r[:, None]) / (r[:, None] + r)
    at = np.unique(np.concatenate([pairs[np.abs(x[:, None] - x) < r[:, None] + r], x]))
    upper, lower = knife.outline.tang_height(at)
    lost = np.sum([chord(at - a, float(b)) for a, b in zip(x, r, strict=True)], axis=0)
    return bool((lost > (1 - knife.rules.net_width) * (upper - lower) + 0.009).any())


def area(found: Found) -> float:
    return math.pi * sum(r * r for _, _, r in found)


def searched(tang: Tang, knife: Knife, start: Found, seconds: float, seed: int) -> Found:
    """Fill, then clear and fill windows until time is up; a worse one is taken now and then, less and less."""
    rng = np.random.default_rng(seed)
    low, high = float(tang.xy[:, 0].min()), float(tang.xy[:, 0].max())
    current = start or fill(tang, [], low, high, math.inf, np.array([-1.0, 0.0]))
    best, begun = current if not narrow(knife, current) else [], time.monotonic()
    warm = 0.01 * area(current)
    while (spent := (time.monotonic() - begun) / seconds) < 1:
        width = rng.uniform(8.0, 45.0)
        a = rng.uniform(low - width / 2, high - width / 2)
        keep = [hole for hole in current if not a <= hole[0] <= a + width]
        turn = rng.uniform(0, 2 * math.pi)
        cap = float(tang.radii[rng.integers(len(tang.radii))]) if rng.random() < 0.8 else math.inf
        new = fill(tang, keep, a - 1, a + width + 1, cap, np.array([math.cos(turn), math.sin(turn)]))
        change = area(new) - area(current)
        if change >= 0 or rng.random() < math.exp(change / max(warm * (1 - spent), 1e-9)):
            current = new
            if area(current) > area(best) + 1e-9 and not narrow(knife, current):
                best = current
    return best


# The integer program.


def program(tang: Tang) -> tuple[Found, float, float]:
    """The holes of the best solution found, the solver's bound on the area and its relative gap."""
    usable = tang.radii[tang.radii <= tang.room.max()]
    radii = usable[np.unique(np.linspace(0, len(usable) - 1, MOST_SIZES).round().astype(int))]
    place, size = np.nonzero(tang.room[:, None] >= radii - 1e-9)
    centre, r = tang.xy[place], radii[size]
    halves = [tang.xy + np.array([a, b]) for a in (0.0, GRID / 2) for b in (0.0, GRID / 2)]
    points = np.unique(np.round(np.concatenate(halves), 6), axis=0)
    tree = cKDTree(points)
    covered = tree.query_ball_point(centre, r + tang.web / 2 - 1e-6)
    rows = np.concatenate([np.asarray(c, dtype=int) for c in covered])
    columns = np.repeat(np.arange(len(r)), [len(c) for c in covered])
    once = coo_array((np.ones(len(rows)), (rows, columns)), shape=(len(points), len(r)))
    every = slice(None, None, 4)
    stations, left = tang.stations[every], np.maximum(tang.left[every], 0.0)
    chords = 2 * np.sqrt(np.maximum(r**2 - (stations[:, None] - centre[:, 0]) ** 2, 0.0))
    limits = np.concatenate([np.ones(len(points)), left])
    answer = milp(
        -math.pi * r**2,
        integrality=np.ones(len(r), dtype=np.int64),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(vstack([once, coo_array(chords)]).tocsr(), -np.inf, limits),
        options={"time_limit": SOLVER_SECONDS},
    )
    bound = -float(answer.mip_dual_bound) if answer.mip_dual_bound is not None else math.nan
    if answer.x is None:
        return [], bound, math.nan
    chosen = np.flatnonzero(answer.x > 0.5)
    found = [(*centre[i].tolist(), float(r[i])) for i in chosen]
    return mended(found, tang), bound, float(answer.mip_gap)


def mended(found: Found, tang: Tang) -> Found:
    """With the smaller of any two that stand too close made smaller still, or left out."""
    out: Found = []
    for x, y, r in sorted(found, key=lambda hole: -hole[2]):
        room = min((math.hypot(x - a, y - b) - s - tang.web for a, b, s in out), default=r)
        k = int(np.searchsorted(tang.radii, min(r, room) + 1e-9, side="right")) - 1
        if k >= 0:
            out.append((x, y, float(tang.radii[k])))
    return out


def solved_row(name: str) -> dict[str, Any]:
    """Both ways on one tang."""
    knife, begun = knife_of(name), time.monotonic()
    coarse, fine = tang_of(knife, GRID), tang_of(knife, 0.5)
    solved, bound, gap = program(coarse)
    solved = [] if solved and narrow(knife, solved) else solved
    ways = [searched(fine, knife, [], SEARCH_SECONDS / len(SEEDS), seed) for seed in SEEDS]
    if solved:
        ways.append(searched(fine, knife, solved, SEARCH_SECONDS / len(SEEDS), 0))
    found = max(ways, key=area)
    by = "search" if found is not ways[-1] or not solved else "search from the program"
    return {
        "tang": name,
        "steel": f"{knife.handle_region.area:.3f}",
        "best": f"{area(found):.3f}",
        "by": by,
        "search": f"{max(area(way) for way in ways[: len(SEEDS)]):.3f}",
        "program": f"{area(solved):.3f}",
        "bound": f"{bound:.3f}",
        "gap": f"{gap:.4f}",
        "sizes": MOST_SIZES,
        "grid": GRID,
        "seconds": f"{time.monotonic() - begun:.0f}",
    }


def searched_row(name: str, before: dict[str, Any]) -> dict[str, Any]:
    """The search on a finer grid of places, and what was found before."""
    knife, begun = knife_of(name), time.monotonic()
    fine = tang_of(knife, 0.25)
    found = max(area(searched(fine, knife, [], SEARCH_SECONDS / len(SEEDS), seed)) for seed in SEEDS)
    row = {**before, "search": f"{max(found, float(before['search'])):.3f}"}
    if found > float(before["best"]):
        row |= {"best": f"{found:.3f}", "by": "search, 0.25 mm"}
    return {**row, "seconds": f"{float(before['seconds']) + time.monotonic() - begun:.0f}"}


def main(arguments: list[str]) -> None:
    """Write the results, each as soon as it is there."""
    again = "--search" in arguments
    names = [argument for argument in arguments if argument != "--search"] or list(TANGS)
    with RESULTS.open(encoding="utf-8", newline="") as file:
        stored = {row["tang"]: row for row in csv.DictReader(file)}
    for name in names:
        stored[name] = searched_row(name, stored[name]) if again else solved_row(name)
        sys.stdout.write(f"{stored[name]}\n")
        with RESULTS.open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, FIELDS)
            writer.writeheader()
            writer.writerows(stored[name] for name in TANGS if name in stored)


if __name__ == "__main__":
    main(sys.argv[1:])

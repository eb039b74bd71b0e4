"""Processor time of one evaluation, outline to mass and findings: python benchmarks/evaluation.py [TIMES].

Medians in ms; nothing is asserted. Every time another length, so that nothing is remembered from the time before.
Asks only for what scripts may ask for, so that it runs on earlier revisions too: see against_before.py.
"""

from __future__ import annotations

import dataclasses
import itertools
import runpy
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import bladegeom
from bladegeom import (
    FlatBevel,
    Grind,
    Knife,
    Liner,
    Pin,
    Plunge,
    Rounding,
    Scales,
    StandoffScrews,
    Stock,
    add_fasteners,
    add_lightening,
    add_lightening_row,
    check,
    inch,
    join_halves,
    weigh,
    what_moves_balance,
)
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled

EXAMPLES = Path(bladegeom.__file__).resolve().parent.parent / "examples"
"""Of the revision that is measured."""


def bare(blade_length: float) -> Knife:
    """A knife without holes."""
    outline = join_halves(DropPoint(blade_length=blade_length), Swelled())
    return Knife(
        name="Benchmark",
        outline=outline,
        stock=Stock(steel="1.4116", thickness=4.0),
        grind=Grind(bevel=FlatBevel(height=18.0, edge_thickness=0.4), plunge=Plunge(x=outline.heel[0])),
        scales=Scales(slab="NEMA L", thickness=8.0),
    )


def pinned(blade_length: float) -> Knife:
    """The same with two fasteners."""
    return add_fasteners(bare(blade_length), Pin(rod="C26000", diameter=inch("1/4")), count=2)


def with_holes(blade_length: float) -> Knife:
    """The same with a graded row."""
    return add_lightening_row(pinned(blade_length))


def contoured(blade_length: float) -> Knife:
    """A domed and swelled handle on liners, held by two standoffs with their screws."""
    scales = Scales(
        slab="NEMA L",
        thickness=8.5,
        liners=(Liner(sheet="NEMA G-10", thickness=0.8),),
        swell=((-115.0, 7.5), (-70.0, 8.5), (0.0, 7.5)),
        rounding=(Rounding(width=10.0, depth=2.0), Rounding(width=2.5, depth=2.5)),
        front_rounding=Rounding(width=1.5, depth=1.5),
    )
    screws = StandoffScrews(thread="#6-32", diameter=inch("1/4"), length=inch("1/2"))
    return add_fasteners(dataclasses.replace(bare(blade_length), scales=scales), screws, count=2)


def judged(knife: Knife) -> None:
    """What is asked after each change of a parameter."""
    weigh(knife).total  # noqa: B018
    check(knife)


def example(name: str) -> Callable[[float], object]:
    """An example's own ``design()`` with its first number a little more."""
    design = runpy.run_path(str(EXAMPLES / f"{name}.py"))["design"]
    first = design.__defaults__[0]
    return lambda more: judged(design(first + more / 50))


MEASURED: dict[str, tuple[Callable[[float], object], int]] = {
    "outline": (lambda more: join_halves(DropPoint(blade_length=110.0 + more), Swelled()), 30),
    "evaluation, bare": (lambda more: judged(bare(110.0 + more)), 30),
    "evaluation, with holes": (lambda more: judged(with_holes(110.0 + more)), 30),
    "evaluation, contoured": (lambda more: judged(contoured(110.0 + more)), 15),
    **{
        f"design() of {name}": (example(name), 10)
        for name in ("galley_chef", "galley_petty", "kindling_knife", "rigging_knife", "traced_knife")
    },
    "lightening search": (lambda more: add_lightening(pinned(110.0 + more)), 4),
    "what moves the balance": (lambda more: what_moves_balance(weigh(with_holes(110.0 + more))), 2),
}
"""What is measured, and how often."""


def main() -> None:
    """Print a line for each."""
    least = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    more = itertools.count(1)
    for name, (action, times) in MEASURED.items():
        # The first one reads tables that are kept.
        action(0.0)
        taken = []
        for _ in range(min(times, least)):
            start = time.process_time()
            action(next(more) / 100)
            taken.append(time.process_time() - start)
        print(f"{1e3 * statistics.median(taken):10.2f} ms  {name}", flush=True)


if __name__ == "__main__":
    main()

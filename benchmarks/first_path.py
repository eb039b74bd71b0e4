"""How long the main job takes: python benchmarks/first_path.py (medians; nothing is asserted)."""

from __future__ import annotations

import dataclasses
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

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
    add_lightening_row,
    check,
    inch,
    join_halves,
    weigh,
)
from bladegeom.handle.parts import handle_parts
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled

EXAMPLE = Path(__file__).resolve().parent.parent / "examples" / "rigging_knife.py"


def bare(blade_length: float = 110.0) -> Knife:
    """A knife without holes."""
    outline = join_halves(DropPoint(blade_length=blade_length), Swelled())
    return Knife(
        name="Benchmark",
        outline=outline,
        stock=Stock(steel="1.4116", thickness=4.0),
        grind=Grind(bevel=FlatBevel(height=18.0, edge_thickness=0.4), plunge=Plunge(x=outline.heel[0])),
        scales=Scales(slab="NEMA L", thickness=8.0),
    )


def with_holes(blade_length: float = 110.0) -> Knife:
    """The same with two fasteners and a graded row."""
    return add_lightening_row(add_fasteners(bare(blade_length), Pin(rod="C26000", diameter=inch("1/4")), count=2))


def contoured(blade_length: float = 110.0) -> Knife:
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


def milliseconds(action: Callable[[], object], times: int = 30) -> float:
    """Median wall time."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        action()
        taken.append(time.perf_counter() - start)
    return 1e3 * statistics.median(taken)


def command(*arguments: str) -> Callable[[], object]:
    """A whole process of the command line."""
    program = [sys.executable, "-c", "import sys; from bladegeom.cli import main; sys.exit(main())", *arguments]
    return lambda: subprocess.run(program, check=True, stdout=subprocess.DEVNULL)


def main() -> None:
    """Print the table."""
    designed, handled = with_holes(), contoured()
    rows: list[tuple[str, Callable[[], object], int]] = [
        ("profiles to valid outline", lambda: join_halves(DropPoint(), Swelled()), 50),
        ("outline to mass and findings, no placing", lambda: (weigh(k := bare()).total, check(k)), 50),
        ("the same with fasteners and row placed", lambda: (weigh(k := with_holes()).total, check(k)), 50),
        ("weigh alone, regions cached", lambda: weigh(designed).total, 50),
        ("weigh a contoured handle, regions cached", lambda: handle_parts(handled), 50),
        ("check alone, regions cached", lambda: check(designed), 50),
        ("process: bladegeom --help", command("--help"), 10),
        ("process: bladegeom report", command("report", str(EXAMPLE)), 10),
    ]
    for name, action, times in rows:
        print(f"{name:<45} {milliseconds(action, times):8.2f} ms")


if __name__ == "__main__":
    main()

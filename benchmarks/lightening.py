"""How placing lightening holes grows with the tang and with the drill index: python benchmarks/lightening.py.

Processor time, best of several runs, and the most memory that a search holds; nothing is asserted.
"""

from __future__ import annotations

import time
import tracemalloc
from collections.abc import Callable
from functools import partial

from bladegeom import (
    FlatBevel,
    Grind,
    Knife,
    Outline,
    Pin,
    Plunge,
    Shop,
    Stock,
    add_fasteners,
    add_lightening,
    add_lightening_row,
    add_lightening_slots,
    add_lightening_to,
    add_staggered_rows,
    drill_index,
    inch,
    weigh,
)
from bladegeom.curves.build import line


def tang(length: float = 120.0, *, height: float = 25.0, count: int = 3, every: int = 1) -> Knife:
    """A plain tang with fasteners, and every so many of the drill index's fractions."""
    outline = Outline(
        edge=line((6.0, -height), (120.0, -6.0)),
        spine=line((120.0, -6.0), (100.0, 0.0), (0.0, 0.0)),
        handle_top=line((0.0, 0.0), (-length, 0.0)),
        butt=line((-length, 0.0), (-length, -height)),
        handle_underside=line((-length, -height), (0.0, -height)),
        choil=line((0.0, -height), (6.0, -height)),
    )
    knife = Knife(
        name="Benchmark",
        outline=outline,
        stock=Stock(steel="1.4116", thickness=4.0),
        grind=Grind(bevel=FlatBevel(height=14.0, edge_thickness=0.4), plunge=Plunge(x=outline.heel[0])),
        shop=Shop(lightening_sizes=drill_index("fractional")[::every]),
    )
    return add_fasteners(knife, Pin(rod="304", diameter=inch("3/16")), count=count)


def seconds(action: Callable[[], object], times: int = 3) -> float:
    """Least processor time."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        action()
        taken.append(time.process_time() - start)
    return min(taken)


def megabytes(action: Callable[[], object]) -> float:
    """Most memory held at a time."""
    tracemalloc.start()
    action()
    most = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    return most


def main() -> None:
    """Print the tables."""
    knife = tang()
    shift = weigh(add_lightening(knife)).balance_from_front - weigh(knife).balance_from_front
    wanted = weigh(knife).balance_from_front + shift / 2
    print("120 x 25 mm tang, 3 fasteners:")
    ways: dict[str, Callable[[], Knife]] = {
        "add_lightening_row": lambda: add_lightening_row(knife),
        "add_staggered_rows": lambda: add_staggered_rows(knife),
        "add_lightening_slots": lambda: add_lightening_slots(knife),
        "add_lightening": lambda: add_lightening(knife),
        "add_lightening_to, half of the shift": lambda: add_lightening_to(knife, balance=wanted),
    }
    for name, way in ways.items():
        print(f"  {name:38s}{seconds(way):7.3f} s, {len(way().holes)} holes")
    print("add_lightening, by size of the tang (a fastener every 40 mm):")
    for length, height in ((60.0, 25.0), (120.0, 25.0), (240.0, 25.0), (480.0, 25.0), (120.0, 100.0)):
        larger = tang(length, height=height, count=round(length / 40))
        place, count = partial(add_lightening, larger), len(add_lightening(larger).holes)
        held = megabytes(place)
        print(f"  {length:5.0f} x {height:3.0f} mm {seconds(place):7.3f} s, {count} holes, {held:4.0f} MB held")
    print("add_lightening, by number of sizes:")
    for every in (8, 4, 2, 1):
        fewer = tang(every=every)
        count = len(fewer.shop.sizes_for_lightening)
        print(f"  {count:5d}    {seconds(partial(add_lightening, fewer)):7.3f} s")


if __name__ == "__main__":
    main()

"""Processor time of pictures 2,400 pixels wide, the mesh apart: python benchmarks/picture.py [TIMES].

Best of several, in ms, and the size of the file; nothing is asserted.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import bladegeom
from bladegeom import Design, mesh, picture
from bladegeom.pictures.view import VIEWS

EXAMPLES = Path(bladegeom.__file__).resolve().parent.parent / "examples"


def best(action: Callable[[], object], times: int) -> float:
    """Least processor time of several, ms."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        action()
        taken.append(1e3 * (time.process_time() - start))
    return min(taken)


def main() -> None:
    """Print a line for each example and view."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    for name in ("rigging_knife", "galley_petty", "galley_chef", "kindling_knife", "traced_knife"):
        design = Design.from_script(EXAMPLES / f"{name}.py")
        print(f"{best(partial(mesh, design), 1):10.0f} ms  {name}: mesh", flush=True)
        for view in VIEWS:
            made = picture(design, view)
            lit = best(partial(picture, design, view), times)
            packed = best(made.png, 1)
            size = len(made.png()) // 1024
            print(f"{lit:10.0f} ms  {name}: {view}, and {packed:.0f} ms for the file of {size} kB", flush=True)


if __name__ == "__main__":
    main()

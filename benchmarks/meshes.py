"""How long it takes to mesh the steel of each example at each stage, and of how many triangles. Run it by hand."""

from __future__ import annotations

import importlib
import inspect
import sys
import time
from pathlib import Path

from bladegeom.knife.grind import STAGES, Stage
from bladegeom.knife.knife import Knife
from bladegeom.mass.weigh import weigh
from bladegeom.meshes.steel_mesh import steel_mesh

EXAMPLES = ("galley_chef", "galley_petty", "kindling_knife", "rigging_knife", "traced_knife")
ROUNDS = 5

meshed = inspect.unwrap(steel_mesh)
"""Computed anew each time."""


def best_ms(knife: Knife, stage: Stage, tolerance: float) -> float:
    """Processor time of the best of several rounds."""
    rounds = []
    for _ in range(ROUNDS):
        start = time.process_time()
        meshed(knife, stage, tolerance)
        rounds.append(time.process_time() - start)
    return 1000 * min(rounds)


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "examples"))
    tolerance = float(sys.argv[1]) if len(sys.argv) > 1 else 0.02
    for name in EXAMPLES:
        made = importlib.import_module(name).design()
        knife: Knife = getattr(made, "knife", made)
        for stage in STAGES:
            mesh = meshed(knife, stage, tolerance, textured=False)
            off = mesh.moments.amount / weigh(knife).stage(stage).amount - 1
            print(
                f"{name:<16} {stage:<9} {best_ms(knife, stage, tolerance):6.1f} ms {len(mesh.triangles):6} triangles, "
                f"volume {100 * off:+.4f} %"
            )

"""How long it takes to draw each profile: both halves declared and joined to a valid outline. Run it by hand."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from bladegeom import profiles
from bladegeom.outline.outline import join_halves

REPEATS, ROUNDS = 20, 15
PARTNERS = {"blade": "swelled", "handle": "drop_point"}


def drawn(name: str) -> Callable[[], object]:
    """A function that draws a profile with its partner anew."""
    profile: Any = profiles.get(name)
    half = profiles.half(profile)
    partner: Any = profiles.get(PARTNERS[half])
    return lambda: join_halves(profile(), partner()) if half == "blade" else join_halves(partner(), profile())


def best_ms(draw: Callable[[], object]) -> float:
    """Of several rounds, per drawing."""
    rounds = []
    for _ in range(ROUNDS):
        start = time.process_time()
        for _ in range(REPEATS):
            draw()
        rounds.append((time.process_time() - start) / REPEATS)
    return 1000 * min(rounds)


if __name__ == "__main__":
    for name in profiles.names():
        print(f"{name:<16} {best_ms(drawn(name)):6.2f} ms")

"""How long nesting takes, and how well it fills: 1, 4 and 20 copies of each example on a bar and on a sheet."""

from __future__ import annotations

import time
from pathlib import Path

from bladegeom.design.script import load_script
from bladegeom.nesting.nest import nest
from bladegeom.nesting.nest_stock import StockPiece
from bladegeom.sheets.nest_drawing import blank_of

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"


def main() -> None:
    stocks = (StockPiece(length=1000.0, width=50.0), StockPiece(length=500.0, width=500.0))
    print(f"{'design':<18} {'stock':<12} {'copies':>6} {'s':>6}  blanks/used mm/yield % of each piece")
    for script in sorted(EXAMPLES.glob("*_*.py")):
        if script.stem == "export_all":
            continue
        knife = load_script(script).knife()[0]
        for stock in stocks:
            if blank_of(knife).loop.pieces[..., 1].max() > stock.width - 10.0:
                # Too tall a blank for the narrow bar: the next width that is sold.
                stock = StockPiece(length=stock.length, width=60.0)  # noqa: PLW2901
            for copies in (1, 4, 20):
                start = time.perf_counter()
                done = nest([blank_of(knife, copies=copies)], stock)
                took = time.perf_counter() - start
                fill = [f"{len(p.places)}/{p.used:.1f}/{done.yield_percent(p):.1f}" for p in done.pieces]
                size = f"{stock.width:g} x {stock.length:g}"
                print(f"{script.stem:<18} {size:<12} {copies:>6} {took:>6.2f}  {' '.join(fill)}")


if __name__ == "__main__":
    main()

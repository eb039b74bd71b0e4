"""How soon the page of a watch shows a save and a slide: python benchmarks/watch.py (nothing is asserted).

Medians over 50 tries in Chromium, from the moment that the file is written, or that the slider tells of its new
place, to the frame that holds the new picture; and what all processes of the watch take for a slide and its judgement.
"""

from __future__ import annotations

import os
import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "browser")]

from driven import Page, browser  # noqa: E402
from watched import PROC, Watch, watching  # noqa: E402

TRIES = 50
PAUSE = 0.4
"""Between two tries, s: numbers and findings have followed, as when a hand looks first."""

SEEN = """
window.slid = 0;
window.seen = [];
document.addEventListener("input", () => { window.slid = performance.timeOrigin + performance.now(); }, true);
new MutationObserver(() => requestAnimationFrame(() => window.seen.push(performance.timeOrigin + performance.now())))
    .observe(document.querySelector(".drawing"), {childList: true});
"""


def seen(page: Page, before: int) -> float:
    """When the next picture was shown, ms."""
    page.wait(f"window.seen.length > {before}")
    return float(page.ask("window.seen.at(-1)"))


def count(page: Page) -> int:
    """Pictures that were shown so far."""
    return int(page.ask("window.seen.length"))


def saves(page: Page, script: Path) -> list[float]:
    """From the file to the frame, ms."""
    text, out = script.read_text(encoding="utf-8"), []
    for i in range(TRIES):
        before = count(page)
        script.write_text(f"{text}\n# saved {i}\n", encoding="utf-8")
        start = 1e3 * time.time()
        out.append(seen(page, before) - start)
        time.sleep(PAUSE)
    return out


def slides(page: Page) -> list[float]:
    """From the slider to the frame, ms."""
    page.ask("document.querySelector('input[type=range]').focus()")
    out = []
    for i in range(TRIES):
        before = count(page)
        page.key("ArrowRight" if i % 2 == 0 else "ArrowLeft")
        shown = seen(page, before)
        out.append(shown - float(page.ask("window.slid")))
        time.sleep(PAUSE)
    return out


def cpu(watch: Watch) -> float:
    """Of all processes of the watch so far, ms; none where the system does not tell."""
    ticks = 0
    for pid in watch.processes():
        _, _, _, *numbers = (PROC / str(pid) / "stat").read_text().rpartition(")")[2].split()
        ticks += sum(map(int, numbers[8:10]))
    return 1e3 * ticks / os.sysconf("SC_CLK_TCK")


def told(name: str, times: list[float]) -> str:
    """Median, and what one in ten exceeds."""
    return (
        f"{name} {statistics.median(times):6.0f} ms, nine in ten below {statistics.quantiles(times, n=10)[-1]:6.0f} ms"
    )


def main() -> None:
    """Print a line for each example."""
    with tempfile.TemporaryDirectory() as scratch, browser() as page:
        folder = Path(scratch) / "examples"
        shutil.copytree(ROOT / "examples", folder, ignore=shutil.ignore_patterns("__pycache__"))
        for script in sorted(folder.glob("*_*.py")):
            if script.name == "export_all.py":
                continue
            with watching(script) as watch:
                page.window(1280, 900)
                page.open(watch.address)
                page.wait("document.querySelector('#numbers td')")
                page.ask(SEEN)
                saved, before = told("save", saves(page, script)), cpu(watch)
                slid = told("slide", slides(page))
                taken = (cpu(watch) - before) / TRIES
                print(f"{script.stem:16} {saved}; {slid}, {taken:4.0f} ms of CPU", flush=True)
                page.open("about:blank")


if __name__ == "__main__":
    main()

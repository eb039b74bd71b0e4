"""Pictures of the pages of ``bladegeom watch`` and ``bladegeom turn``, taken in Chromium while they are used."""

from __future__ import annotations

import contextlib
import io
import shutil
import sys
import tempfile
from pathlib import Path

from PIL import Image

ROOT = Path(__file__).resolve().parent.parent
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "browser")]

import chromium  # noqa: E402
from driven import Page, browser  # noqa: E402
from watched import watching  # noqa: E402

from bladegeom.cli import main  # noqa: E402

NAMES = ("watch", "watch-moved", "watch-mistake", "turn", "turn-cut")
"""As saved; with values moved; with a mistake in the script; the knife to turn; cut across on a phone."""

WIDTH = 1280
STATUS = "document.querySelector('#status').textContent"


def take_all(folder: Path) -> None:
    """Write every picture as PNG."""
    _take_watched(folder)
    _take_turned(folder)


def _take_turned(folder: Path) -> None:
    with tempfile.TemporaryDirectory() as scratch, browser(*chromium.IN_SPACE) as page:
        path = Path(scratch) / "turn.html"
        with contextlib.redirect_stdout(io.StringIO()):
            main(["turn", str(ROOT / "examples" / "rigging_knife.py"), "--out", str(path)])
        for name, (width, height) in {"turn": (WIDTH, 800), "turn-cut": (390, 844)}.items():
            page.window(width, height)
            page.open(path.as_uri())
            page.wait("document.querySelector('#canvas').dataset.drawn")
            if name == "turn-cut":
                page.ask("document.querySelector('#cut-on').click()")
                page.ask("document.querySelector('#cut-more').scrollIntoView({block: 'end'})")
            drawn = int(page.ask("Number(document.querySelector('#canvas').dataset.drawn)"))
            page.ask("document.querySelector('#apart').dispatchEvent(new Event('input'))")
            page.wait(f"Number(document.querySelector('#canvas').dataset.drawn) > {drawn}")
            _save(page, folder / f"{name}.png")


def _take_watched(folder: Path) -> None:
    with tempfile.TemporaryDirectory() as scratch, browser() as page:
        script = Path(scratch) / "my_knife.py"
        shutil.copyfile(ROOT / "examples" / "rigging_knife.py", script)
        with watching(script) as watch:
            page.window(WIDTH, 1050)
            page.open(watch.address)
            page.wait("document.querySelectorAll('.station-sections').length > 2")
            _save(page, folder / "watch.png")
            page.type_into("#p-blade_length", "4-3/4 in")
            page.type_into("#p-bevel_height", "19")
            page.wait(f"{STATUS}.startsWith('2 values moved')")
            page.wait("document.querySelectorAll('#changes li').length > 4")
            page.window(WIDTH, 1050)
            _save(page, folder / "watch-moved.png")
            text = script.read_text(encoding="utf-8")
            script.write_text(text.replace("    return ", "    retrun "), encoding="utf-8")
            page.wait("!document.querySelector('#fault').hidden")
            page.window(WIDTH, 760)
            _save(page, folder / "watch-mistake.png")
            page.open("about:blank")


def _save(page: Page, path: Path) -> None:
    picture = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    picture.quantize(256, dither=Image.Dither.NONE).save(path, "PNG", optimize=True)

"""A browser without a window and without a network, for pages that are files."""

from __future__ import annotations

import html
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

NAMES = ("chromium", "chromium-browser")
FOUND = next((path for path in map(shutil.which, NAMES) if path), None)

FLAGS = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--hide-scrollbars"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
    # No name is ever found: whatever a page asked for would fail.
    "--host-resolver-rules=MAP * ~NOTFOUND",
)

IN_SPACE = ("--use-angle=swiftshader", "--enable-unsafe-swiftshader")
"""What draws WebGL without a graphics card; source: Chromium, docs/gpu/swiftshader.md."""

_RESULT = re.compile(r'<pre id="result">(.*?)</pre>', re.DOTALL)


def run(page: Path, *wanted: str) -> str:
    """Open a file, do what is wanted, and give back what the browser prints."""
    assert FOUND is not None
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        command = [FOUND, *FLAGS, f"--user-data-dir={profile}", *wanted, page.resolve().as_uri()]
        done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    return done.stdout


def printed(page: Path) -> Path:
    """The page as the browser prints it."""
    out = page.with_suffix(".pdf")
    run(page, "--no-pdf-header-footer", f"--print-to-pdf={out}")
    return out


def asked(page: Path, script: str) -> str:
    """What a script says of a page that is opened beside it in a frame as wide as a phone.

    Args:
        page: The page, whose own policy stays in force: the script stands outside of it.
        script: Body of a function of the page's document and window, which returns text.
    """
    outer = page.with_name(f"asking_{page.name}")
    outer.write_text(
        f'<!DOCTYPE html><body style="margin:0"><iframe id="page" style="border:0;width:360px;height:800px" '
        f'srcdoc="{html.escape(page.read_text(encoding="utf-8"))}"></iframe><pre id="result"></pre><script>'
        'document.getElementById("page").onload = event => {'
        "const window = event.target.contentWindow, document = event.target.contentDocument;"
        f"const answer = (() => {{{script}}})();"
        'event.target.ownerDocument.getElementById("result").textContent = answer;};</script></body>',
        encoding="utf-8",
    )
    (found,) = _RESULT.findall(run(outer, "--virtual-time-budget=5000", "--dump-dom"))
    return html.unescape(found)

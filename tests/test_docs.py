"""README and docs say what is so: their scripts and commands run, their quotations are printed, their links lead on."""

from __future__ import annotations

import re
import shlex
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import documented
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageChops
from watched import STOPPED, watching

import bladegeom
from bladegeom import cli
from bladegeom.cli import main

ROOT = Path(__file__).resolve().parent.parent
DOCS = ROOT / "docs"
sys.path.insert(0, str(DOCS))

import pages as site  # noqa: E402
import pictures  # noqa: E402
from windows import powershell  # noqa: E402

PAGES = [ROOT / "README.md", *sorted(DOCS.rglob("*.md"))]
LINKED = [*PAGES, ROOT / "DEVELOPERS.md"]

STARTED = "bladegeom new my_knife.py"
"""A page that writes the starter script itself; on every other it is there already."""


QUICK = {"own-limits.md", "work.md"}


def name_of(path: Path) -> str:
    return str(path.relative_to(ROOT))


def with_code() -> Iterator[object]:
    """Each page with something to run; those that run commands or export take long."""
    for path in PAGES:
        if documented.blocks(path):
            yield pytest.param(path, id=name_of(path), marks=[] if path.name in QUICK else [pytest.mark.long])


@pytest.mark.parametrize("page", list(with_code()))
def test_what_a_page_shows_runs(page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(ROOT / "examples", tmp_path / "examples", ignore=shutil.ignore_patterns("__pycache__"))
    for points in (DOCS / "how-to").glob("*.csv"):
        shutil.copyfile(points, tmp_path / points.name)
    monkeypatch.chdir(tmp_path)
    monkeypatch.syspath_prepend(tmp_path)
    if STARTED not in page.read_text(encoding="utf-8"):
        assert main(["new", "my_knife.py"]) == 0
    before = set(sys.modules)
    try:
        documented.Reader(page=page, folder=tmp_path, exports=ROOT / "exports").read()
    finally:
        for name in set(sys.modules) - before:
            if str(getattr(sys.modules[name], "__file__", "")).startswith(str(tmp_path)):
                del sys.modules[name]


@pytest.mark.long
def test_the_commands_that_readme_lists_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    listed = re.findall(r"^\| `bladegeom ([^`]*)` \|", text, re.MULTILINE)
    assert {shlex.split(line)[0] for line in listed} == set(site.command_names())
    shutil.copytree(ROOT / "examples", tmp_path / "examples", ignore=shutil.ignore_patterns("__pycache__"))
    (part,) = (ROOT / "exports" / "rigging_knife").glob("*_cut_steel_*.dxf")
    shutil.copyfile(part, tmp_path / "part.dxf")
    monkeypatch.chdir(tmp_path)
    assert main(["new", "old_knife.py"]) == 0
    for line in listed:
        command, *arguments = shlex.split(line)
        if command == "watch":
            # It goes on until it is stopped.
            with watching(*arguments) as watch:
                assert watch.end()[0] == STOPPED
        else:
            assert main([command, *arguments]) == 0, line


@pytest.mark.parametrize(
    ("quote", "fine"),
    [("one two", True), ("one\n  two three", True), ("one\n...\nfour", True), ("four\n...\none", False), ("tw", False)],
)
def test_a_quotation_is_what_was_printed(quote: str, fine: bool) -> None:  # noqa: FBT001
    if fine:
        documented.assert_quoted(quote, "one  two\nthree four", "here")
    else:
        with pytest.raises(AssertionError, match="here: not printed"):
            documented.assert_quoted(quote, "one  two\nthree four", "here")


LINK = re.compile(r"\]\((?!\w+:)(?P<path>[^)#\s]*)(?:#(?P<anchor>[^)\s]*))?\)")


@pytest.mark.parametrize("page", LINKED, ids=name_of)
def test_links_lead_somewhere(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    for link in LINK.finditer(re.sub(r"```.*?```|`[^`]*`", "", text, flags=re.DOTALL)):
        path = (page.parent / link["path"]).resolve() if link["path"] else page
        generated = {(DOCS / made).resolve(): made for made in site.generated()}
        assert path.exists() or path in generated, f"{page.name} links to {link['path']}"
        if link["anchor"]:
            there = site.generated()[generated[path]] if path in generated else path.read_text(encoding="utf-8")
            assert link["anchor"] in anchors(there), f"{page.name} links to {link['path']}#{link['anchor']}"


def anchors(markdown: str) -> set[str]:
    """What a heading is called in an address."""
    headings = re.findall(r"^#+ (.*)$", re.sub(r"```.*?```", "", markdown, flags=re.DOTALL), re.MULTILINE)
    return {re.sub(r"\s+", "-", re.sub(r"[^\w\s-]", "", heading.lower()).strip()) for heading in headings}


def test_readme_and_docs_set_up_in_the_same_way() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    lines = [line.strip() for line in readme.splitlines() if documented.SETUP.match(line.strip())]
    for page in DOCS.rglob("*.md"):
        for block in documented.blocks(page):
            for line in block.text.splitlines() if block.language == "sh" else ():
                assert not documented.SETUP.match(line) or line in lines, f"{page.name}: {line}"


def test_readme_says_the_same_for_windows() -> None:
    shown = documented.blocks(ROOT / "README.md")
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    unix = {powershell(line.strip()) for line in readme.splitlines() if documented.SETUP.match(line.strip())}
    windows = {block.text.strip() for block in shown if block.language == "powershell"}
    assert windows
    assert windows <= unix


@given(st.lists(st.text(st.characters(codec="ascii", exclude_categories=["Cc"]), min_size=1), max_size=4))
def test_powershell_gets_the_same_arguments(arguments: list[str]) -> None:
    """Read back by the rule of PowerShell: within single quotes everything stands for itself, a quote is doubled."""
    line = powershell(shlex.join([".venv/bin/bladegeom", *arguments]).replace(" && ", " '&&' "))
    words = re.findall(r"'((?:[^']|'')*)'(?!')|([\w./\\:=+~-]+)", line)
    read = [quoted.replace("''", "'") if quoted else plain for quoted, plain in words]
    assert read == [".venv\\Scripts\\bladegeom", *arguments]


@pytest.mark.parametrize(
    ("unix", "windows"),
    [
        ("python3 -m venv .venv && .venv/bin/python x.py", "py -m venv .venv\n.venv\\Scripts\\python x.py"),
        (".venv/bin/bladegeom sweep a.py t=3,3.5", ".venv\\Scripts\\bladegeom sweep a.py 't=3,3.5'"),
        (".venv/bin/bladegeom report a.py t='5/32 in'", ".venv\\Scripts\\bladegeom report a.py 't=5/32 in'"),
        ("cp a.py b.py", "cp a.py b.py"),
    ],
)
def test_commands_for_windows(unix: str, windows: str) -> None:
    assert powershell(unix) == windows


def test_every_command_stands_in_the_reference(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        cli.main(["no-such-command"])
    choices = re.findall(r"\w+", capsys.readouterr().err.split("choose from", 1)[1])
    assert site.command_names() == choices
    page = site.commands_page()
    assert all(f"## {name}\n\n```text\nusage: bladegeom {name} " in page for name in choices)


def test_docstrings_are_read_as_markdown() -> None:
    shown = site.as_markdown("See :func:`weigh`.\n\n>>> 1 + 1\n2\n>>> 3\n3\n\nThat is all.")
    assert shown == "See `weigh`.\n\n```pycon\n>>> 1 + 1\n2\n>>> 3\n3\n```\n\nThat is all."


def test_every_public_name_stands_in_the_reference() -> None:
    made = site.generated()
    shown = re.findall(r"^::: bladegeom\.(\w+)$", "\n".join(made.values()), re.MULTILINE)
    assert sorted(shown) == sorted(dir(bladegeom))


def test_pictures_are_those_that_the_script_makes() -> None:
    assert {path.name for path in (DOCS / "pictures").iterdir()} == pictures.names()
    shown = "\n".join(page.read_text(encoding="utf-8") for page in PAGES)
    assert {name for name in pictures.names() if f"pictures/{name}" not in shown} == set()


NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@pytest.mark.long
def test_pictures_show_what_is_exported_now(tmp_path: Path) -> None:
    """Another release of the renderer may shade a border otherwise; a line or a word that moved is black on white."""
    pictures.make_all(tmp_path)
    for name in sorted(pictures.names()):
        kept, made = DOCS / "pictures" / name, tmp_path / name
        if name.endswith(".svg"):
            assert len({NUMBER.sub("#", path.read_text(encoding="utf-8")) for path in (kept, made)}) == 1, name
            continue
        one, other = (Image.open(path).convert("L") for path in (kept, made))
        assert abs(one.width - other.width) <= 2, name
        assert abs(one.height - other.height) <= 2, name
        unlike = ImageChops.difference(one, other).point(lambda level: 255 if level > 128 else 0)
        assert unlike.histogram()[255] <= 2e-5 * one.width * one.height, name

"""Run what README and docs show: scripts, commands and what they print, page by page in the order of the page."""

from __future__ import annotations

import contextlib
import io
import re
import shlex
import shutil
import tomllib
from dataclasses import dataclass, field
from pathlib import Path

import pypdfium2

from bladegeom.cli import main

SETUP = re.compile(r"^(?:python3 -m venv|\.venv/bin/python -m (?:pip|pytest)) ")
"""What sets up or runs the tests: not run again by one of them."""

FENCE = re.compile(
    r"^(?:<!-- exit (?P<status>\d) -->\n+)?```(?P<language>\w*)(?: title=\"(?P<title>[^\"]*)\")?\n(?P<text>.*?)^```$",
    re.MULTILINE | re.DOTALL,
)

BESIDE = "add to "
"""Begins the title of a block that is added to a file that is there."""


@dataclass(frozen=True, kw_only=True)
class Block:
    """A block of code: its language, the file that it is or comes from, the status that its commands end with."""

    language: str
    title: str | None
    text: str
    status: int
    line: int


def blocks(page: Path) -> list[Block]:
    """The blocks of code of a page, in order."""
    text = page.read_text(encoding="utf-8")
    found = [
        Block(
            language=match["language"],
            title=match["title"],
            text=match["text"],
            status=int(match["status"] or 0),
            line=text.count("\n", 0, match.start("text")),
        )
        for match in FENCE.finditer(text)
    ]
    assert len(found) == len(re.findall(r"^ *```\w", text, re.MULTILINE)), f"{page}: a block that is not read"
    return found


@dataclass
class Reader:
    """Somebody who does what a page says, in a folder of their own.

    Args:
        page: What is read.
        folder: The current folder, with the examples in it.
        exports: What the examples export, by folder.
    """

    page: Path
    folder: Path
    exports: Path
    printed: str = ""
    names: dict[str, object] = field(default_factory=dict)

    def read(self) -> None:
        """Do all of it."""
        for block in blocks(self.page):
            self._do(block)

    def _do(self, block: Block) -> None:
        where = f"{self.page.name}:{block.line}"
        match block:
            case Block(language="text"):
                source = self.printed if block.title is None else self._text_of(block.title)
                assert_quoted(block.text, source, where)
            case Block(language="toml" | "python", title=str(title)):
                path = self.folder / title.removeprefix(BESIDE)
                assert path.exists() == title.startswith(BESIDE), f"{where}: {path.name}"
                with path.open("a", encoding="utf-8") as file:
                    file.write(f"\n{block.text}")
            case Block(language="toml"):
                tomllib.loads(block.text)
            case Block(language="python"):
                self.printed = self._execute(block)
            case Block(language="sh"):
                self.printed = "".join(self._run(line, block.status, where) for line in block.text.splitlines())
            case Block(language="powershell"):
                """Compared with its neighbour by another test."""
            case _:
                raise AssertionError(f"{where}: nobody knows how to run {block.language!r}")

    def _execute(self, block: Block) -> str:
        printed = io.StringIO()
        with contextlib.redirect_stdout(printed):
            exec(compile("\n" * block.line + block.text, str(self.page), "exec"), self.names)
        return printed.getvalue()

    def _run(self, line: str, status: int, where: str) -> str:
        printed = io.StringIO()
        for command in line.split(" && "):
            if SETUP.match(command):
                continue
            program, *arguments = shlex.split(command)
            if program == "cp":
                shutil.copyfile(*arguments)
                continue
            assert program == ".venv/bin/bladegeom", f"{where}: nobody knows how to run {program}"
            with contextlib.redirect_stdout(printed), contextlib.redirect_stderr(printed):
                ended = main(arguments)
            assert ended == status, f"{where}: {command} ends with {ended}: {printed.getvalue()}"
        return printed.getvalue()

    def _text_of(self, name: str) -> str:
        """The text of an exported file, made on this page or by the examples."""
        here = self.folder / name
        (path,) = [here] if here.is_file() else self.exports.rglob(name)
        if path.suffix != ".pdf":
            return path.read_text(encoding="utf-8")
        return "\n".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(path))


def assert_quoted(quote: str, source: str, where: str) -> None:
    """Every part of a quotation was printed, in that order; a line of three dots leaves something out."""
    rest = f" {' '.join(source.split())} "
    for part in re.split(r"^\.\.\.$", quote, flags=re.MULTILINE):
        words = f" {' '.join(part.split())} "
        _, found, after = rest.partition(words)
        assert found, f"{where}: not printed, or not in this order:{words}"
        rest = f" {after}"

"""What lies on the desk: the watched designs, each with its last picture, and whoever looks at them."""

from __future__ import annotations

import asyncio
import os
from collections.abc import AsyncIterator, Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, Protocol

_SIGN_OF_LIFE = 15.0
"""A page hears from the desk at least this often, s; own choice: a connection of which nobody hears may be cut off."""


class Shaped(Protocol):
    """A design that is read from its script again and again, with values moved; ``state`` grows with every change.

    It may be asked from several threads, and may take its time.
    """

    @property
    def watched(self) -> frozenset[Path]:
        """Files whose save means: look again."""

    def saved(self) -> None:
        """Read the script again."""

    def move(self, values: Mapping[str, str]) -> None:
        """Set parameters, as they are written; what is not named stands as in the script."""

    def picture(self) -> dict[str, Any]:
        """The side view, the parameters, and what is wrong with the script."""

    def sections(self, stations: Sequence[float] = ()) -> dict[str, Any]:
        """Sections at places along the knife."""

    def judged(self, stations: Sequence[float] = ()) -> dict[str, Any]:
        """Mass, balance, findings, sections, and what changed since the last save."""

    def write(self) -> str:
        """Put the moved values into the script; the words say what was written."""

    def close(self) -> None:
        """Whoever is still asking is answered at once."""


class Desk:
    """One design, or a second one beside it.

    Args:
        designs: The first is the one that is shaped.
    """

    def __init__(self, designs: Sequence[Shaped]) -> None:
        self.designs = tuple(designs)
        self._pictures: list[dict[str, Any]] = [{} for _ in designs]
        self._news = asyncio.Event()
        self._closed = False

    async def open(self) -> None:
        """Draw every design for the first time."""
        await asyncio.gather(*(self._change(number, lambda: None) for number in range(len(self.designs))))

    async def picture(self, number: int) -> dict[str, Any]:
        """The newest picture; the first one is waited for."""
        while not self._pictures[number]:
            await self._news.wait()
        return self._pictures[number]

    async def sections(self, number: int, stations: Sequence[float]) -> dict[str, Any]:
        """What is nearly as quick as the picture."""
        return await asyncio.to_thread(self.designs[number].sections, stations)

    async def judged(self, number: int, stations: Sequence[float]) -> dict[str, Any]:
        """What is slower to know than the picture."""
        return await asyncio.to_thread(self.designs[number].judged, stations)

    async def move(self, number: int, values: Mapping[str, str]) -> dict[str, Any]:
        """Set parameters, and give the picture of it."""
        return await self._change(number, lambda: self.designs[number].move(values))

    async def write(self, number: int) -> str:
        """Put the moved values into the script, and draw it as it stands now."""
        words = await asyncio.to_thread(self.designs[number].write)
        await self._change(number, lambda: None)
        return words

    async def saved(self, paths: Iterable[Path]) -> None:
        """Read again every design that one of the files belongs to."""
        named = frozenset(paths)
        read = [i for i, design in enumerate(self.designs) if named & spellings(design.watched)]
        await asyncio.gather(*(self._change(number, self.designs[number].saved) for number in read))

    @property
    def watched(self) -> frozenset[Path]:
        """Files whose save means: look again; each as it was named and where it really lies."""
        return spellings(path for design in self.designs for path in design.watched)

    async def states(self) -> AsyncIterator[list[int]]:
        """The state of each design, now and after every change, until the desk is closed; again as a sign of life."""
        while not self._closed:
            news = self._news
            yield [picture.get("state", -1) for picture in self._pictures]
            try:
                await asyncio.wait_for(news.wait(), _SIGN_OF_LIFE)
            except TimeoutError:
                continue

    def close(self) -> None:
        """Nobody is told anything any more."""
        self._closed = True
        self._tell()

    async def _change(self, number: int, change: Callable[[], None]) -> dict[str, Any]:
        """Change a design and draw it; what another change has overtaken meanwhile is not kept."""

        def changed() -> dict[str, Any]:
            change()
            return self.designs[number].picture()

        picture = await asyncio.to_thread(changed)
        if picture["state"] >= self._pictures[number].get("state", -1):
            self._pictures[number] = picture
            self._tell()
        return picture

    def _tell(self) -> None:
        news, self._news = self._news, asyncio.Event()
        news.set()


def spellings(paths: Iterable[Path]) -> frozenset[Path]:
    """Files as they are named from the root, and as the links in their paths resolve.

    >>> len(spellings([Path("/none/knife.py")]))
    1
    """
    # Path.resolve raises RuntimeError on links that lead round in a circle.
    return frozenset(
        spelled
        for path in paths
        for spelled in (path.absolute(), Path(os.path.realpath(path.parent), path.name), Path(os.path.realpath(path)))
    )

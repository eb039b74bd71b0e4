"""The rooms of the package: the list that DEVELOPERS.md shows, their sizes, and no import that comes back to itself."""

from __future__ import annotations

import graphlib
import re
from collections import Counter
from pathlib import Path

from test_layers import LAYERS, MODULES, ROOT, imports, layer_of

LARGEST_SHARE = 0.12
"""Of all lines that a room may hold; own choice: what is larger is two subjects."""


def module_of(path: Path) -> str:
    """A module's dotted name, as others import it."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def test_no_room_grows_beyond_its_subject() -> None:
    lines = Counter[str]()
    for path in MODULES:
        lines[layer_of(path)] += len(path.read_text(encoding="utf-8").splitlines())
    total = lines.total()
    assert {room: count / total for room, count in lines.items() if count > LARGEST_SHARE * total} == {}


def test_every_room_says_in_two_lines_what_is_in_it() -> None:
    for room in LAYERS:
        text = (ROOT / "bladegeom" / room / "__init__.py").read_text(encoding="utf-8")
        told = text.removeprefix('"""').split('"""')[0]
        assert len([line for line in told.splitlines() if line.strip()]) >= 2, room


def test_developers_are_shown_the_same_rooms_in_the_same_order() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    rooms = re.findall(r"^\| `([\w/]+)` \|", text, flags=re.MULTILINE)
    assert [room.removeprefix("bladegeom/") for room in rooms] == [*LAYERS, "profiles"]


def test_developers_are_shown_files_that_exist() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    told = set(re.findall(r"`([\w*<>]+/[\w*/]*(?:\.\w+)?)`", text))
    assert len(told) > 30
    places = (ROOT, ROOT / "bladegeom", ROOT / "bladegeom" / "quantities")
    assert [path for path in sorted(told) if not any(any(place.glob(path)) for place in places)] == []


def test_no_module_imports_itself_through_others() -> None:
    names = {module_of(path) for path in MODULES}
    sorter = graphlib.TopologicalSorter[str]()
    for path in MODULES:
        # A module's own room is there before it; another room is loaded with whatever is asked of it.
        own, wanted = module_of(path).rpartition(".")[0], set()
        for _, module in imports(path):
            wanted |= {module, *{module.rpartition(".")[0]} - {own}} & names
        sorter.add(module_of(path), *(wanted - {module_of(path), "bladegeom"}))
    sorter.prepare()

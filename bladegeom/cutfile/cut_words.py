"""What a cut file says of itself: in its comment, its name and the messages."""

from __future__ import annotations

from bladegeom.cutfile.cut import CutPart
from bladegeom.drawing.drawing import Circle
from bladegeom.fasteners.alike import by_name
from bladegeom.holes.cut_holes import CutHole, Way, cut_holes
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.units import MM_PER_INCH, show_length, show_size

_WAYS: dict[Way, str] = {"under size": "under size, for drill or reamer", "pilot": "as pilot holes"}


def comment(knife: Knife, part: CutPart, *, has_units: bool) -> tuple[str, ...]:
    """Lines of a comment: what it is, of what, in which unit, and everything that is not plain nominal size.

    Args:
        knife: The design.
        part: That the file holds.
        has_units: Whether the file can say its unit by itself.
    """
    width, height = part.size
    return (
        f"{knife.name}, revision {revision_id(knife)}, {part.part}",
        what(part),
        f"mm, {nominal(knife, part)}, no kerf compensation",
        *(() if has_units else ("this release of DXF holds no unit: 1 unit is 1 mm",)),
        f"over all {show_size(width, height)}",
        *choices(knife, part),
    )


INCH = float(MM_PER_INCH)


def what(part: CutPart) -> str:
    """Material, thickness and how many to cut for one knife."""
    return "; ".join(f"{name}, {show_length(thick)}: cut {count}" for (name, thick), count in counted_sheets(part))


def counted_sheets(part: CutPart) -> tuple[tuple[tuple[str, float], int], ...]:
    """Each sheet of a part with how many are cut of it for one knife; two alike are one."""
    return tuple((sheet, part.each * part.sheets.count(sheet)) for sheet in dict.fromkeys(part.sheets))


def nominal(knife: Knife, part: CutPart) -> str:
    """Whether it is nominal size, and what is not."""
    if part.part != "steel" or not knife.cutting.allowance:
        return "nominal size"
    return f"outline {show_length(knife.cutting.allowance)} outside nominal to grind off, holes not touched"


def choices(knife: Knife, part: CutPart) -> tuple[str, ...]:
    """Holes that are not cut to size or left out, tabs and layers, each as a sentence."""
    tabs = []
    if part.tabs and knife.cutting.tabs:
        count = "1 tab" if part.tabs == 1 else f"{part.tabs} tabs"
        gaps = "1 gap" if part.tabs == 1 else f"{part.tabs} gaps"
        tabs = [f"{count}: the outline has {gaps} of {show_length(knife.cutting.tabs.width)}, left on purpose"]
    return (*hole_choices(knife, part), *tabs, *layer_words(part))


def hole_choices(knife: Knife, part: CutPart) -> tuple[str, ...]:
    """Holes that are not cut to size or left out, each kind as a sentence."""
    out = []
    if part.part == "steel":
        holes = cut_holes(knife)
        out += [line for way, words in _WAYS.items() for line in _named(holes, way, words)]
    elif part.part == "liner" and any(isinstance(item, Circle) for item in part.drawing.items):
        out.append("holes are at size: in a liner cut so, the drill card's rows for liners only check them")
    if part.left:
        out.append(f"not in the cut file, left for the drill: {', '.join(part.left)}")
    return tuple(out)


def layer_words(part: CutPart) -> tuple[str, ...]:
    """What the layers mean where there is more than one."""
    if any(item.layer == "MARK" for item in part.drawing.items):
        return ("layer CUT is cut through; layer MARK is marked only, never cut; its grind line is that of the finish",)
    return ()


def _named(holes: tuple[CutHole, ...], way: Way, words: str) -> list[str]:
    """Holes that are cut alike, with what is cut; those of one size together."""
    cut = {hole.name: show_length(hole.diameter) for hole in holes if hole.way == way}
    alike: dict[str, list[str]] = {}
    for name in by_name(cut):
        alike.setdefault(cut[name], []).append(name)
    told = [f"{', '.join(names)} {size}" for size, names in alike.items()]
    return [f"{words}: {'; '.join(told)}"] if told else []


def file_words(knife: Knife, part: CutPart) -> str:
    """The end of a file's name: part, what is not nominal, and the size over all in mm and in inches."""
    width, height = part.size
    words = [f"cut_{part.part}"]
    if part.part == "steel" and knife.cutting.allowance:
        words.append(f"allowance{knife.cutting.allowance:.2f}mm")
    if part.tabs:
        words.append("1tab" if part.tabs == 1 else f"{part.tabs}tabs")
    words.append(f"{width:.1f}x{height:.1f}mm")
    words.append(f"{width / INCH:.2f}x{height / INCH:.2f}in")
    return "_".join(words)

"""Rows of the drill card round the drilling of the scales: slabs to thickness, burrs, hardware to length, the try."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.drilling.row import CardRow, Phase
from bladegeom.fasteners.alike import by_name, grouped, to_compare
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.stack import families
from bladegeom.fasteners.stack_parts import Fitting, When
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Scales
from bladegeom.quantities.units import show_length

_HARD: Phase = "after hardening"


def thicknessed(knife: Knife, scales: Scales, *, outside: bool) -> CardRow:
    """Both slabs brought to the thickness that depths from the outside hang on, if there are any, and rods."""
    return CardRow(
        holes=(),
        part="both scales",
        operation=f"thickness both slabs to {show_length(scales.slab_thickness)}, "
        f"within {show_length(knife.shop.tolerances.slab)}",
        tool="flat platen or disc sander, caliper",
        phase=_HARD,
        note=f"Measure at both ends and in the middle. {_OFF_SIZE[outside]}",
        measures=True,
    )


_OFF_SIZE = {
    True: "A slab that is thicker: add the difference to every depth from the outside face; thinner: take it off. Set "
    "each depth stop anew on each slab's own face.",
    False: "Rods are sawn for it, and sanding to the contour starts from it.",
}


def lined(scales: Scales) -> CardRow:
    """Liners glued on for good, before anything is drilled."""
    both = show_length(scales.slab_thickness + scales.liner)
    return CardRow(
        holes=(),
        part="both scales",
        operation="glue the liners to the inside faces of the slabs; they never come off again",
        tool="glue of the handle, flat plates, clamps",
        phase=_HARD,
        note=f"Degreased and roughened; pressed flat until it has set. Slab and liners together {both}: measure it.",
        measures=True,
    )


def tang_measured(at: Sequence[Stack]) -> Iterator[CardRow]:
    """The tang as it has come out of grinding, on whose thickness depths and lengths hang."""
    hang = [stack for stack in at if stack.if_tang_thinner]
    if not hang:
        return
    drawn = ", ".join(
        f"{', '.join(by_name(stack.layers.name for stack in alike))} {show_length(2 * alike[0].layers.tang.nominal)}"
        for _, alike in grouped((to_compare(2 * stack.layers.tang.nominal), stack) for stack in hang)
    )
    stray = show_length(hang[0].layers.knife.shop.tolerances.tang)
    mend = dict.fromkeys(stack.if_tang_thinner for stack in hang)
    yield CardRow(
        holes=by_name(stack.layers.name for stack in hang),
        part="tang",
        operation="measure the thickness beside each hole, after its last grinding",
        tool="micrometer, or caliper",
        phase=_HARD,
        note=f"As drawn: {drawn}. Depths are reckoned from it. Where it is thinner by more than {stray}: "
        f"{'; '.join(mend)}.",
        measures=True,
    )


def parted(scales: Scales, holes: tuple[str, ...]) -> CardRow:
    """Scales off the tang, liners off the scales unless they are glued, and free of burrs, before anything is sunk."""
    lined = bool(scales.liners) and not scales.glued_liners
    off = "take the liners off the scales; " if lined else ""
    return CardRow(
        holes=holes,
        part="both scales",
        operation=f"{off}deburr both faces of {'scales and liners' if lined else 'the scales'}",
        tool="scraper or fine abrasive on a flat block; countersink turned by hand",
        phase=_HARD,
        note="A burr inside keeps the scales from closing, and tilts them on the table. Mark right, left and front"
        f"{' on liners too' if lined else ''}.",
    )


def cleared(holes: tuple[str, ...]) -> CardRow:
    """Burrs of what was sunk."""
    return CardRow(
        holes=holes,
        part="both scales",
        operation="deburr what was sunk, inside faces last",
        tool="scraper or fine abrasive on a flat block",
        phase=_HARD,
        note="Flat over a straightedge, no ring round any pocket or hole; chips out of the pockets.",
    )


def fitted(at: Sequence[Stack]) -> Iterator[CardRow]:
    """Hardware made ready, the try before anything is glued, and what is done to hardware after that."""
    work = [fitting for kind, family in families(at) for fitting in kind.fitted(family)]
    yield from _rows(work, "before the trial")
    yield CardRow(
        holes=by_name(stack.layers.name for stack in at),
        part="handle",
        operation="trial assembly, dry",
        tool="all hardware, both scales",
        phase=_HARD,
        note=" ".join((_CLOSE, *_trials(at))),
    )
    for when in ("at gluing", "at contouring", "on the finished scales"):
        yield from _rows(work, when)


_CLOSE = "Scales close on the tang all round, no light between; nothing is forced, nothing is glued yet."


def _rows(work: Sequence[Fitting], when: When) -> Iterator[CardRow]:
    for fitting in work:
        if fitting.when == when:
            yield CardRow(
                holes=by_name(fitting.holes),
                part=fitting.part,
                operation=fitting.operation,
                tool=fitting.tool,
                phase=_HARD,
                note=fitting.note,
                when=when,
                measures=fitting.measures,
            )


def _trials(at: Sequence[Stack]) -> Iterator[str]:
    """What to look for, those alike together."""
    for words, names in grouped((stack.trial, stack.layers.name) for stack in at):
        if words:
            yield f"{', '.join(by_name(names))}: {words}."

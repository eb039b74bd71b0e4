"""Rows of the drill card round the drilling of the scales: slabs to thickness, burrs, hardware to length, the try."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.drilling.row import CardRow, Phase, broken_rims, by_name, close, grouped, shown
from bladegeom.fasteners.stack import Stack
from bladegeom.fasteners.stack_bolt import BoltStack
from bladegeom.fasteners.stack_rod import OVER_PEENED, RodStack
from bladegeom.fasteners.stack_standoff import StandoffStack
from bladegeom.knife.hardware.pin import Pin
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Scales
from bladegeom.quantities.units import show_length

TRIAL = "trial assembly, dry"
"""The operation after which nothing but peening is left."""

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
    )


def tang_measured(at: Sequence[Stack]) -> Iterator[CardRow]:
    """The tang as it has come out of grinding, on whose thickness depths and lengths hang."""
    hang = [one for one in at if hangs_on_tang(one)]
    if not hang:
        return
    drawn = ", ".join(
        f"{', '.join(by_name(one.site.name for one in alike))} {show_length(2 * alike[0].site.tang.nominal)}"
        for _, alike in grouped((shown(2 * one.site.tang.nominal), one) for one in hang)
    )
    stray = show_length(hang[0].site.knife.shop.tolerances.tang)
    mend = dict.fromkeys(_THINNER[isinstance(one, BoltStack)] for one in hang)
    yield CardRow(
        holes=by_name(one.site.name for one in hang),
        part="tang",
        operation="measure the thickness beside each hole, after its last grinding",
        tool="micrometer, or caliper",
        phase=_HARD,
        note=f"As drawn: {drawn}. Depths are reckoned from it. Where it is thinner by more than {stray}: "
        f"{'; '.join(mend)}.",
    )


def hangs_on_tang(stack: Stack) -> bool:
    """Whether a depth or a length of a fastener is wrong once the tang is ground thinner than drawn."""
    return isinstance(stack, BoltStack) or (isinstance(stack, StandoffStack) and stack.pocket_stop.nominal > 0)


_THINNER = {
    False: "face the sleeves as much shorter, or sink each pocket half as much deeper; the tips come as much closer",
    True: "face each shoulder half as much shorter",
}


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
    """Hardware to length, the try before anything is glued, and last what is peened."""
    yield from _standoffs([stack for stack in at if isinstance(stack, StandoffStack)])
    yield from _bolts([stack for stack in at if isinstance(stack, BoltStack)])
    rods = [stack for stack in at if isinstance(stack, RodStack)]
    yield from _glued([one for one in rods if not is_peened(one)])
    yield CardRow(
        holes=by_name(stack.site.name for stack in at),
        part="handle",
        operation=TRIAL,
        tool="all hardware, both scales",
        phase=_HARD,
        note=" ".join((_CLOSE, *_trials(at))),
    )
    yield from _peened([one for one in rods if is_peened(one)])


def is_peened(stack: RodStack) -> bool:
    """Whether its ends are hammered wide."""
    return isinstance(stack.rod, Pin) and stack.rod.peened


_CLOSE = "Scales close on the tang all round, no light between; nothing is forced, nothing is glued yet."


def _trials(at: Sequence[Stack]) -> Iterator[str]:
    """What to look for, those alike together."""
    for words, names in grouped((_trial(stack), stack.site.name) for stack in at):
        if words:
            yield f"{', '.join(by_name(names))}: {words}."


def _trial(stack: Stack) -> str:
    match stack:
        case StandoffStack() as one:
            return f"screws {one.screw.name}, tight before their tips meet"
        case BoltStack():
            return "heads seat, the shoulders do not meet"
        case RodStack() as rod if is_peened(rod):
            return "a longer piece of the rod, pushed through"
        case _:
            return ""


def _standoffs(at: Sequence[StandoffStack]) -> Iterator[CardRow]:
    for one, group in grouped((stack.standoff, stack) for stack in at):
        yield CardRow(
            holes=by_name(stack.site.name for stack in group),
            part="standoffs",
            operation=f"face the sleeve to {show_length(one.length)}, "
            f"within {show_length(group[0].site.knife.shop.tolerances.sleeve)}",
            tool=f"standoff {one.screw.name}, {show_length(one.diameter)}; lathe or file in a jig, caliper",
            phase=_HARD,
            note=f"{len(group)} to face, or to measure as bought; ends square, thread clear at both ends.",
        )
    cut = [stack for stack in at if stack.screw not in stack.standoff.lengths]
    for (thread, screw), group in grouped(((stack.standoff.screw, stack.screw), stack) for stack in cut):
        yield CardRow(
            holes=by_name(stack.site.name for stack in group),
            part="screws",
            operation=f"cut to {show_length(screw.length)} over all, "
            f"within {show_length(group[0].site.knife.shop.tolerances.screw)}",
            tool=f"screw {thread.name}, hacksaw or disc",
            phase=_HARD,
            note=f"{2 * len(group)} to cut. A nut on first: run off over the cut, it clears the thread.",
        )


def _bolts(at: Sequence[BoltStack]) -> Iterator[CardRow]:
    for one, group in grouped((stack.bolt, stack) for stack in at):
        yield CardRow(
            holes=by_name(stack.site.name for stack in group),
            part="bolts",
            operation=f"face the shoulders to {show_length(one.shoulder_length)}, "
            f"within {show_length(group[0].site.knife.shop.tolerances.sleeve)}",
            tool=f"shouldered bolt {one.screw.name}; lathe, caliper",
            phase=_HARD,
            note=f"{2 * len(group)} halves to face, or to measure. Stud {show_length(one.stud_length)} long, the other "
            f"half tapped as deep; heads {show_length(one.head_height)} high.",
        )


def _glued(rods: Sequence[RodStack]) -> Iterator[CardRow]:
    for group in sawn_alike(rods):
        slab = 2 * (group[0].site.inside + group[0].site.slab).nominal
        over = (sawn_length(group) - slab) / 2
        yield _saw(
            group,
            f"stands out {show_length(over)} on each side of the slabs. After the trial: roughen, degrease, glue in; "
            "grind flush when it has set.",
        )


def _peened(rods: Sequence[RodStack]) -> Iterator[CardRow]:
    """Last of all: a head that is peened on the flat slab would be ground off with the contour."""
    if not rods:
        return
    names = by_name(one.site.name for one in rods)
    yield CardRow(
        holes=names,
        part="handle",
        operation="contour the scales to their finished shape, before any peening",
        tool="gauges of the handle pages",
        phase=_HARD,
        note="Scales glued or held by loose rods. Peened on the flat slabs, the heads would be ground off.",
    )
    yield CardRow(
        holes=names,
        part="both scales",
        operation=f"chamfer the holes on the finished outside, {broken_rims()}",
        tool="countersink turned by hand",
        phase=_HARD,
        note="The rod swells into it and holds the scale.",
    )
    for group in sawn_alike(rods):
        over = OVER_PEENED * group[0].diameter
        yield _saw(group, f"stands out {show_length(over)}, half a diameter, on each side of the finished scales.")
    yield CardRow(
        holes=names,
        part="rods",
        operation="peen both ends",
        tool="ball-peen hammer, on a steel block",
        phase=_HARD,
        note="Light blows from both sides in turn, scales closed; stop when the chamfer is full, dress the heads.",
    )


def sawn_alike(rods: Sequence[RodStack]) -> Iterator[list[RodStack]]:
    """Rods of one kind whose lengths nobody saws apart."""
    for _, group in grouped((one.rod, one) for one in rods):
        within = group[0].site.knife.shop.tolerances.told_apart
        yield from close(group, lambda one: (one.cut_length.nominal,), within)


def sawn_length(group: Sequence[RodStack]) -> float:
    """To which rods alike are sawn: the longest, as each is ground flush or peened afterwards, mm."""
    return max(one.cut_length.nominal for one in group)


def _saw(group: Sequence[RodStack], note: str) -> CardRow:
    one = group[0]
    return CardRow(
        holes=by_name(stack.site.name for stack in group),
        part="rods",
        operation=f"saw to {show_length(sawn_length(group))}, ends square and broken",
        tool=f"{one.rod.kind}, {show_length(one.diameter)}",
        phase=_HARD,
        note=f"{len(group)} to saw; {note}",
    )

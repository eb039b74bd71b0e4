"""What a cut file says of its unit, and what it holds besides lines to cut."""

from __future__ import annotations

import functools
from collections import Counter
from collections.abc import Iterator
from typing import Final

import numpy as np

from bladegeom.curves.curve import Vector
from bladegeom.cutfile.preflight_words import CUT_ONLY, LINES_ARCS, cut_finding, each, width_by_height
from bladegeom.cutfile.seen import Seen
from bladegeom.importers.cut_plan import LIKELY, CutPlan
from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.units import show_length

_UNITS = "shops read mm or inch; the header is advisory, release 12 has none: common practice, no source"

LARGEST_RADIUS: Final = 10_000.0
"""Arcs of a larger radius are lines, mm: over 200 mm they rise by half a millimetre at most; own choice."""

FARTHEST_PART: Final = 10_000.0
"""A part lies no farther from the origin, mm: no table is so large; own choice."""

_SINGLE = "IEEE 754: single precision has 24 binary digits; no machine's table is 10 m long"

_CURVES: Final = {"SPLINE": "spline", "ELLIPSE": "ellipse"}

_REMEDY: Final = {
    "text": "delete it, or turn it into single lines on a layer of its own that is named for marking",
    "hatch": "delete it",
    "dimension": "delete it: dimensions belong on the drawing that goes with the order",
    "point": "delete it: it may be pierced",
    "block": "explode it into lines and arcs, and delete what is not to be cut",
    "not flat": "draw it in the plane z = 0",
    "other": "delete it, or redraw it as lines and arcs",
    "spline": "write it as lines and arcs, within 0.01 mm",
    "ellipse": "write it as lines and arcs, within 0.01 mm",
}


@rule(
    Code("unit-missing", ("error", "warning", "note"), "the file names no unit"),
    Code("unit-odd", ("error",), "the file's unit is one that shops do not read"),
    Code("unit-disagrees", ("warning",), "the file contradicts itself about its unit"),
    Code("size", ("warning",), "the part has no knife's size"),
)
def unit_findings(seen: Seen) -> Iterator[Finding]:
    """Whether the file opens at the right size everywhere."""
    plan = seen.plan
    if not plan.chains:
        return
    width, height = plan.bounds[2] - plan.bounds[0], plan.bounds[3] - plan.bounds[1]
    if not plan.unit:
        w, h = width / plan.mm_per_unit, height / plan.mm_per_unit
        # Release 12 cannot name a unit, so that there it is no slip.
        old = plan.release == "R12"
        if plan.told:
            severity: Severity = "note" if old else "warning"
            way_out = "write it into the order" if old else "set it in the file, for others see none"
            text = f"the file names no unit; read as {plan.told}, as was told: {way_out}"
        else:
            severity = "error"
            text = (
                f"the file names no unit: {w:.3f} x {h:.3f} is {width_by_height(w, h)} if it is mm, "
                f"{width_by_height(25.4 * w, 25.4 * h)} if it is inch; tell which (--unit mm or --unit inch), set it "
                "in the file, "
                f"and write the size into the file's name and the order; measured here as {_taken(plan)}"
            )
        yield cut_finding("unit-missing", severity, text, None, source=_UNITS)
    elif plan.unit not in ("mm", "inch"):
        text = (
            f"the file's unit is the {plan.unit}, which shops do not read; the part is "
            f"{width_by_height(width, height)} read as "
            f"{_taken(plan)}, as it is here, and another size in other programs; write it in mm"
        )
        yield cut_finding("unit-odd", "error", text, None, source=_UNITS)
    elif plan.metric is not None and plan.metric != (plan.unit == "mm"):
        said = "metric" if plan.metric else "imperial"
        text = f"the file names the unit {plan.unit} but calls itself {said}; set $MEASUREMENT to match $INSUNITS"
        yield cut_finding("unit-disagrees", "warning", text, None, source=_UNITS)
    longest = max(width, height)
    smallest, largest = LIKELY
    if not smallest <= longest <= largest:
        text = (
            f"the part is {width_by_height(width, height)}: that is no knife's size; look at the unit and scale "
            "(bladegeom preflight FILE --seen SIZE names what went wrong)"
        )
        limit = smallest if longest < smallest else largest
        yield cut_finding("size", "warning", text, None, source="own choice", measured=float(longest), limit=limit)


def _taken(plan: CutPlan) -> str:
    """As what the numbers were read."""
    return {1.0: "mm", 25.4: "inch"}.get(plan.mm_per_unit, plan.unit)


@rule(*(Code(kind.replace(" ", "-"), ("error",), f"the file holds what no cutter reads: {kind}") for kind in _REMEDY))
def thing_findings(seen: Seen) -> Iterator[Finding]:
    """Text, hatches, splines and all that a cutter must not find."""
    plan = seen.plan
    first: dict[tuple[str, str], Vector] = {}
    count = Counter[tuple[str, str]]()
    curves = [c for c in plan.chains if c.kind in ("spline", "ellipse")]
    places = [(c.kind, c.kind.upper(), (float(c.segments.start[0, 0]), float(c.segments.start[0, 1]))) for c in curves]
    strays = [(_CURVES.get(s.what, s.kind), s.what, (s.x, s.y)) for s in plan.strays]
    for kind, what, place in (*places, *strays):
        first.setdefault((kind, what), place)
        count[kind, what] += 1
    for (kind, what), number in count.items():
        text = f"{number} {what} in the file; {_REMEDY[kind]}"
        source = LINES_ARCS if kind in ("spline", "ellipse") else CUT_ONLY
        yield cut_finding(
            kind.replace(" ", "-"), "error", text, first[kind, what], source=source, measured=float(number), limit=0.0
        )


@rule(
    Code("marks", ("warning",), "lines are taken for marks"),
    Code("hidden-layer", ("warning",), "lines are not shown, and may be cut all the same"),
    Code("layers", ("warning",), "lines to cut stand on several layers"),
    Code("paper-space", ("warning",), "things stand outside model space"),
    Code("release", ("note",), "the file's release is newer than older controllers read"),
    Code("nothing", ("error",), "there is nothing to cut"),
)
def layer_findings(seen: Seen) -> Iterator[Finding]:
    """Lines to mark, lines that are not shown, lines outside model space, several layers to cut."""
    plan = seen.plan
    by_layer = Counter((chain.layer, chain.unseen) for chain in plan.marks)
    for (layer, unseen), number in by_layer.items():
        first = next(mark for mark in plan.marks if (mark.layer, mark.unseen) == (layer, unseen)).segments.start[0]
        place = (float(first[0]), float(first[1]))
        lines = f"{_lines(number)} on layer {layer!r}"
        if unseen:
            text = f"{lines}, {unseen}, not measured: some machines cut it all the same; delete what is not to be cut"
        else:
            text = f"{lines}, taken for marks and not measured; say so in the order, or delete them"
        yield cut_finding(
            "hidden-layer" if unseen else "marks", "warning", text, place, source=CUT_ONLY, measured=float(number)
        )
    layers = sorted({chain.layer for chain in plan.chains})
    if len(layers) > 1:
        text = f"lines to cut on {len(layers)} layers ({', '.join(layers[:6])}); put them on one"
        yield cut_finding("layers", "warning", text, None, source=CUT_ONLY, measured=float(len(layers)), limit=1.0)
    for layout, number in plan.elsewhere:
        text = f"{number} thing{'' if number == 1 else 's'} in the layout {layout!r}, outside model space; delete them"
        yield cut_finding("paper-space", "warning", text, None, source=CUT_ONLY, measured=float(number), limit=0.0)
    if plan.release not in ("R12", "R2000"):
        text = f"release {plan.release}: older controllers read 2000 (AC1015) or 12; ask, or write release 2000"
        yield cut_finding("release", "note", text, None, source="common practice, no source")
    if not plan.chains:
        text = "nothing to cut: no line, arc, circle or polyline in model space; export the outline again"
        yield cut_finding("nothing", "error", text, None, source=CUT_ONLY)


@rule(
    Code("wide-line", ("warning",), "a line is drawn with a width"),
    Code("thickness", ("warning",), "a line is drawn with a thickness"),
    Code("flat-arc", ("warning",), "an arc is all but straight"),
    Code("far-away", ("warning",), "the part lies far from the origin"),
)
def line_findings(seen: Seen) -> Iterator[Finding]:
    """Lines that are drawn wide or stand up from the plane, arcs that are all but straight, a part far off."""
    plan = seen.plan
    for name, code, why in _DRAWN:
        sizes = np.array([getattr(chain, name) for chain in plan.chains])
        rows = np.flatnonzero(sizes > 0)
        if len(rows):
            text = f"{_lines(len(rows))} drawn with a {name} of up to {show_length(float(sizes.max()))}; {why}"
            x, y = plan.chains[int(sizes.argmax())].segments.start[0]
            place = (float(x), float(y))
            yield cut_finding(code, "warning", text, place, source=CUT_ONLY, measured=float(sizes.max()), limit=0.0)
    segments = plan.segments
    flat = np.flatnonzero(~segments.straight & (segments.radius > LARGEST_RADIUS))
    # An arc of the file stands here as halves, which are one thing to mend.
    halves = [k > 0 and plan.owner[k] == plan.owner[k - 1] and plan.chains[plan.owner[k]].kind == "arc" for k in flat]
    yield from each(flat[~np.array(halves, dtype=bool)].tolist(), functools.partial(_flat_arc, plan))
    away = float(np.abs(plan.bounds).max()) if len(segments) else 0.0
    if away > FARTHEST_PART:
        step = float(np.spacing(np.float32(away)))
        text = (
            f"the part lies {show_length(away)} from the origin, where a program that counts in single precision keeps "
            f"steps of {show_length(step)} only; move it to the origin"
        )
        place = (float(plan.bounds[0]), float(plan.bounds[1]))
        yield cut_finding("far-away", "warning", text, place, source=_SINGLE, measured=away, limit=FARTHEST_PART)


_DRAWN: Final = (
    ("width", "wide-line", "a cutter follows its middle: set the width to 0, and see that the middle is meant"),
    ("thickness", "thickness", "it stands up as a wall: set the thickness to 0"),
)


def _flat_arc(plan: CutPlan, k: int) -> Finding:
    segments = plan.segments
    radius = float(segments.radius[k])
    chain = plan.chains[plan.owner[k]]
    length = float(chain.segments.length.sum() if chain.kind == "arc" else segments.length[k])
    rise = length**2 / radius / 8
    x, y = segments.end[k] if chain.kind == "arc" else segments.middle[k]
    text = (
        f"arc of {radius / 1000:.4g} m radius, {show_length(length)} long, that rises by "
        f"{rise:.4f} mm; draw a line, for some controllers cannot hold such a radius"
    )
    place = (float(x), float(y))
    return cut_finding(
        "flat-arc", "warning", text, place, source="own choice: 10 m", measured=radius, limit=LARGEST_RADIUS
    )


def _lines(number: int) -> str:
    return f"{number} line{'' if number == 1 else 's'}"

"""What a cut file says of its unit, and what it holds besides lines to cut."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

from bladegeom.body.cut_plan import LIKELY, CutPlan
from bladegeom.curves.curve import Vector
from bladegeom.reason.finding import Finding, Severity
from bladegeom.reason.preflight_words import CUT_ONLY, LINES_ARCS, found, size

_UNITS = "shops read mm or inch; the header is advisory, release 12 has none: common practice, no source"

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


def unit_findings(plan: CutPlan) -> Iterator[Finding]:
    """Whether the file opens at the right size everywhere."""
    width, height = plan.bounds[2] - plan.bounds[0], plan.bounds[3] - plan.bounds[1]
    if not plan.unit:
        w, h = width / plan.mm_per_unit, height / plan.mm_per_unit
        text = (
            f"the file names no unit: {w:.3f} x {h:.3f} is {size(w, h)} if it is mm, {size(25.4 * w, 25.4 * h)} if it "
            f"is inch; read here as {_taken(plan)}; set the unit, and write the size "
            "into the file's name and the order"
        )
        # Release 12 cannot name a unit, so that there it is no slip.
        severity: Severity = "warning" if plan.release == "R12" else "error"
        yield found("unit-missing", severity, text, None, source=_UNITS)
    elif plan.unit not in ("mm", "inch"):
        text = (
            f"the file's unit is the {plan.unit}, which shops do not read; the part is {size(width, height)} read as "
            f"{_taken(plan)}, as it is here, and another size in other programs; write it in mm"
        )
        yield found("unit-odd", "error", text, None, source=_UNITS)
    elif plan.metric is not None and plan.metric != (plan.unit == "mm"):
        said = "metric" if plan.metric else "imperial"
        text = f"the file names the unit {plan.unit} but calls itself {said}; set $MEASUREMENT to match $INSUNITS"
        yield found("unit-disagrees", "warning", text, None, source=_UNITS)
    longest = max(width, height)
    smallest, largest = LIKELY
    if not smallest <= longest <= largest:
        text = (
            f"the part is {size(width, height)}: that is no knife's size; look at the unit and scale "
            "(bladegeom preflight FILE --seen SIZE names what went wrong)"
        )
        limit = smallest if longest < smallest else largest
        yield found("size", "warning", text, None, source="own choice", measured=float(longest), limit=limit)


def _taken(plan: CutPlan) -> str:
    """As what the numbers were read."""
    return {1.0: "mm", 25.4: "inch"}.get(plan.mm_per_unit, plan.unit)


def thing_findings(plan: CutPlan) -> Iterator[Finding]:
    """Text, hatches, splines and all that a cutter must not find."""
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
        yield found(
            kind.replace(" ", "-"), "error", text, first[kind, what], source=source, measured=float(number), limit=0.0
        )


def layer_findings(plan: CutPlan) -> Iterator[Finding]:
    """Lines to mark, lines on hidden layers, lines outside model space, several layers to cut."""
    by_layer = Counter(chain.layer for chain in plan.marks)
    for layer, number in by_layer.items():
        hidden = layer in plan.hidden
        first = next(chain for chain in plan.marks if chain.layer == layer).segments.start[0]
        place = (float(first[0]), float(first[1]))
        lines = f"{number} line{'' if number == 1 else 's'} on layer {layer!r}"
        if hidden:
            text = f"{lines}, which is switched off: some machines cut it all the same; delete what is on it"
        else:
            text = f"{lines}, taken for marks and not measured; say so in the order, or delete them"
        yield found(
            "hidden-layer" if hidden else "marks", "warning", text, place, source=CUT_ONLY, measured=float(number)
        )
    layers = sorted({chain.layer for chain in plan.chains})
    if len(layers) > 1:
        text = f"lines to cut on {len(layers)} layers ({', '.join(layers[:6])}); put them on one"
        yield found("layers", "warning", text, None, source=CUT_ONLY, measured=float(len(layers)), limit=1.0)
    for layout, number in plan.elsewhere:
        text = f"{number} thing{'' if number == 1 else 's'} in the layout {layout!r}, outside model space; delete them"
        yield found("paper-space", "warning", text, None, source=CUT_ONLY, measured=float(number), limit=0.0)
    if plan.release not in ("R12", "R2000"):
        text = f"release {plan.release}: older controllers read 2000 (AC1015) or 12; ask, or write release 2000"
        yield found("release", "note", text, None, source="common practice, no source")
    if not plan.chains:
        text = "nothing to cut: no line, arc, circle or polyline in model space; export the outline again"
        yield found("nothing", "error", text, None, source=CUT_ONLY)

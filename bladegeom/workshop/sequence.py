"""Which step must come before which, why, and what is broken in an order of steps."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from bladegeom.knife.finding import Finding
from bladegeom.workshop.operation import PRACTICE, Operation

LAST: Final = ("sharpen", "inspect")
"""The last two steps, in their order."""


class Before(NamedTuple):
    """One step before another."""

    first: str
    then: str
    reason: str


_HARD = "after hardening no twist drill cuts the steel"
_CRACK = "as-quenched steel can crack within the hour; it is tempered at once"
_HEAT = "the heat and the scale of hardening would spoil it"
_HANDLE = "no finish or texture can be put under a scale or close to it, and what it needs would harm the handle"

SEQUENCE: Final = (
    Before("template", "cut", "the template shows where to cut"),
    Before("cut", "drill", "places are measured from the outline"),
    Before("cut", "rough_grind", "the edge is scribed on the finished outline"),
    Before("cut", "heat_treat", "hard steel is not sawn"),
    Before("drill", "heat_treat", _HARD),
    Before("rough_grind", "heat_treat", "its edge is left thick for the quench alone"),
    Before("heat_treat", "temper", "there is nothing to temper before"),
    Before("temper", "straighten", "untempered steel breaks when it is bent"),
    Before("heat_treat", "finish_grind", _HEAT),
    Before("temper", "finish_grind", "untempered steel cracks in the heat of grinding"),
    Before("straighten", "finish_grind", "a bowed blade cannot be ground even"),
    Before("rough_grind", "finish_grind", "it is the finer one"),
    Before("finish_grind", "surface", "grinding takes the finish off"),
    Before("finish_grind", "mark", "grinding takes the mark off"),
    Before("finish_grind", "etch", "grinding takes the etch off"),
    Before("surface", "etch", "an etch shows every scratch left in the surface"),
    Before("mark", "etch", "marking through an etched surface scars it, and the etch evens out the mark's border"),
    Before("heat_treat", "dry_fit", "the hard tang is the jig: steel grows in hardening"),
    Before("drill", "dry_fit", "the tang's holes lead the drill"),
    Before("dry_fit", "handle", "what does not close dry does not close with glue"),
    Before("heat_treat", "handle", "no handle stands the heat"),
    Before("finish_grind", "handle", "the plunge and the front cannot be ground beside a scale"),
    Before("surface", "handle", _HANDLE),
    Before("etch", "handle", _HANDLE),
    Before("handle", "contour", "scales shaped apart never meet: they are contoured glued to the tang"),
    Before("surface", "sheath", "it is cut to the finished knife"),
    Before("handle", "sheath", "it is cut to the finished knife"),
    Before("contour", "sheath", "it is cut to the finished knife"),
    Before("peen", "sheath", "it is cut to the finished knife"),
    Before("contour", "peen", "peened on the flat slabs, the heads would be ground off"),
)
"""Source: common practice, no source."""

AT_ONCE: Final = (Before("heat_treat", "temper", _CRACK),)
"""Steps with nothing between them but what itself says that it belongs there, such as a cold treatment."""


def broken(operations: Sequence[Operation]) -> Iterator[Finding]:
    """Everything that is in the wrong order, each with its reason and a way out."""
    at = {one.key: i for i, one in enumerate(operations)}
    for rule in (*_usual(operations), *_own(operations), *_last(operations)):
        if rule.first in at and rule.then in at and at[rule.first] > at[rule.then]:
            yield _finding(operations, at, rule)
    for rule in AT_ONCE:
        if rule.first in at and rule.then in at:
            yield from _between(operations[at[rule.first] + 1 : at[rule.then]], rule)
    yield from _late_holes(operations, at)


def _usual(operations: Sequence[Operation]) -> Iterator[Before]:
    """A mark that is struck into soft steel lies on the flat, where the finish grind does not come."""
    is_soft = any(one.key == "mark" and "heat_treat" in one.before for one in operations)
    return (rule for rule in SEQUENCE if not (is_soft and rule[:2] == ("finish_grind", "mark")))


def _own(operations: Sequence[Operation]) -> Iterator[Before]:
    for one in operations:
        yield from (Before(one.key, other, f"the step {one.key!r} itself says so") for other in one.before)
        yield from (Before(other, one.key, f"the step {one.key!r} itself says so") for other in one.after)


def _last(operations: Sequence[Operation]) -> Iterator[Before]:
    sharpen, inspect = LAST
    for one in operations:
        if one.key not in LAST:
            yield Before(one.key, sharpen, "the blade is sharpened last: until then it is taped and cuts nobody")
        if one.key != inspect:
            yield Before(one.key, inspect, "what is done after the inspection is not inspected")


def _finding(operations: Sequence[Operation], at: dict[str, int], rule: Before) -> Finding:
    first, then = operations[at[rule.first]], operations[at[rule.then]]
    return Finding(
        code="route-order",
        severity="error",
        part="route",
        message=f"{first.title!r} ({first.key}) stands after {then.title!r} ({then.key}): {rule.reason}; move it with "
        f"MoveStep(key={first.key!r}, before={then.key!r})",
        source=PRACTICE,
    )


def _between(operations: Sequence[Operation], rule: Before) -> Iterator[Finding]:
    strangers = [one.key for one in operations if not (rule.first in one.after and rule.then in one.before)]
    if strangers:
        yield Finding(
            code="route-at-once",
            severity="error",
            part="route",
            message=f"{', '.join(strangers)} between {rule.first} and {rule.then}: {rule.reason}; move it with "
            f"MoveStep(key={strangers[0]!r}, after={rule.then!r})",
            source=PRACTICE,
        )


def _late_holes(operations: Sequence[Operation], at: dict[str, int]) -> Iterator[Finding]:
    """Holes of the steel that a step drills after hardening, whatever the step is called."""
    for one in operations[at.get("heat_treat", len(operations)) + 1 :]:
        holes = dict.fromkeys(name for row in one.rows if row.phase == "before hardening" for name in row.holes)
        if holes and one.key != "drill":
            yield Finding(
                code="route-hole-after-hardening",
                severity="error",
                part="route",
                message=f"{one.title!r} ({one.key}) works on {', '.join(holes)} after hardening: {_HARD}; move it "
                "before heat_treat",
                source=PRACTICE,
            )

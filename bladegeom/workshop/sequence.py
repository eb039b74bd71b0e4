"""Which step must come before which, why, and what is broken in an order of steps."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from bladegeom.knife.finding import Finding
from bladegeom.workshop.operation import PRACTICE, Operation

LAST: Final = ("sharpen", "inspect")
"""The last two steps, in their order."""


class SequenceRule(NamedTuple):
    """One step before another."""

    first: str
    then: str
    reason: str


_HARD = "after hardening no twist drill cuts the steel"
_CRACK = "as-quenched steel can crack within the hour; it is tempered at once"
_HEAT = "the heat and the scale of hardening would spoil it"
_HANDLE = "no finish or texture can be put under a scale or close to it, and what it needs would harm the handle"

SEQUENCE: Final = (
    SequenceRule("template", "cut", "the template shows where to cut"),
    SequenceRule("cut", "drill", "places are measured from the outline"),
    SequenceRule("cut", "rough_grind", "the edge is scribed on the finished outline"),
    SequenceRule("cut", "heat_treat", "hard steel is not sawn"),
    SequenceRule("drill", "heat_treat", _HARD),
    SequenceRule("rough_grind", "heat_treat", "its edge is left thick for the quench alone"),
    SequenceRule("heat_treat", "temper", "there is nothing to temper before"),
    SequenceRule("temper", "straighten", "untempered steel breaks when it is bent"),
    SequenceRule("heat_treat", "finish_grind", _HEAT),
    SequenceRule("temper", "finish_grind", "untempered steel cracks in the heat of grinding"),
    SequenceRule("straighten", "finish_grind", "a bowed blade cannot be ground even"),
    SequenceRule("rough_grind", "finish_grind", "it is the finer one"),
    SequenceRule("finish_grind", "surface", "grinding takes the finish off"),
    SequenceRule("finish_grind", "mark", "grinding takes the mark off"),
    SequenceRule("finish_grind", "etch", "grinding takes the etch off"),
    SequenceRule("surface", "etch", "an etch shows every scratch left in the surface"),
    SequenceRule(
        "mark", "etch", "marking through an etched surface scars it, and the etch evens out the mark's border"
    ),
    SequenceRule("heat_treat", "dry_fit", "the hard tang is the jig: steel grows in hardening"),
    SequenceRule("drill", "dry_fit", "the tang's holes lead the drill"),
    SequenceRule("dry_fit", "handle", "what does not close dry does not close with glue"),
    SequenceRule("heat_treat", "handle", "no handle stands the heat"),
    SequenceRule("finish_grind", "handle", "the plunge and the front cannot be ground beside a scale"),
    SequenceRule("surface", "handle", _HANDLE),
    SequenceRule("etch", "handle", _HANDLE),
    SequenceRule("handle", "contour", "scales shaped apart never meet: they are contoured glued to the tang"),
    SequenceRule("surface", "sheath", "it is cut to the finished knife"),
    SequenceRule("handle", "sheath", "it is cut to the finished knife"),
    SequenceRule("contour", "sheath", "it is cut to the finished knife"),
    SequenceRule("peen", "sheath", "it is cut to the finished knife"),
    SequenceRule("contour", "peen", "peened on the flat slabs, the heads would be ground off"),
)
"""Source: common practice, no source."""

AT_ONCE: Final = (SequenceRule("heat_treat", "temper", _CRACK),)
"""Steps with nothing between them but what itself says that it belongs there, such as a cold treatment."""


def broken_sequence(operations: Sequence[Operation]) -> Iterator[Finding]:
    """Everything that is in the wrong order, each with its reason and a way out."""
    at = {operation.key: i for i, operation in enumerate(operations)}
    for rule in (*_usual(operations), *_own(operations), *_last(operations)):
        if rule.first in at and rule.then in at and at[rule.first] > at[rule.then]:
            yield _finding(operations, at, rule)
    for rule in AT_ONCE:
        if rule.first in at and rule.then in at:
            yield from _between(operations[at[rule.first] + 1 : at[rule.then]], rule)
    yield from _late_holes(operations, at)


def _usual(operations: Sequence[Operation]) -> Iterator[SequenceRule]:
    """A mark that is struck into soft steel lies on the flat, where the finish grind does not come."""
    is_soft = any(operation.key == "mark" and "heat_treat" in operation.before for operation in operations)
    return (rule for rule in SEQUENCE if not (is_soft and rule[:2] == ("finish_grind", "mark")))


def _own(operations: Sequence[Operation]) -> Iterator[SequenceRule]:
    for operation in operations:
        yield from (
            SequenceRule(operation.key, other, f"the step {operation.key!r} itself says so")
            for other in operation.before
        )
        yield from (
            SequenceRule(other, operation.key, f"the step {operation.key!r} itself says so")
            for other in operation.after
        )


def _last(operations: Sequence[Operation]) -> Iterator[SequenceRule]:
    sharpen, inspect = LAST
    for operation in operations:
        if operation.key not in LAST:
            yield SequenceRule(
                operation.key, sharpen, "the blade is sharpened last: until then it is taped and cuts nobody"
            )
        if operation.key != inspect:
            yield SequenceRule(operation.key, inspect, "what is done after the inspection is not inspected")


def _finding(operations: Sequence[Operation], at: dict[str, int], rule: SequenceRule) -> Finding:
    first, then = operations[at[rule.first]], operations[at[rule.then]]
    return Finding(
        code="route-order",
        severity="error",
        part="route",
        message=f"{first.title!r} ({first.key}) stands after {then.title!r} ({then.key}): {rule.reason}; move it with "
        f"MoveStep(key={first.key!r}, before={then.key!r})",
        source=PRACTICE,
    )


def _between(operations: Sequence[Operation], rule: SequenceRule) -> Iterator[Finding]:
    strangers = [
        operation.key
        for operation in operations
        if not (rule.first in operation.after and rule.then in operation.before)
    ]
    if strangers:
        yield Finding(
            code="route-at-once",
            severity="error",
            part="route",
            message=f"{', '.join(strangers)} {'stands' if len(strangers) == 1 else 'stand'} between {rule.first} and "
            f"{rule.then}: {rule.reason}; move it with MoveStep(key={strangers[0]!r}, after={rule.then!r})",
            source=PRACTICE,
        )


def _late_holes(operations: Sequence[Operation], at: dict[str, int]) -> Iterator[Finding]:
    """Holes of the steel that a step drills after hardening, whatever the step is called."""
    for operation in operations[at.get("heat_treat", len(operations)) + 1 :]:
        holes = dict.fromkeys(name for row in operation.rows if row.phase == "before hardening" for name in row.holes)
        if holes and operation.key != "drill":
            yield Finding(
                code="route-hole-after-hardening",
                severity="error",
                part="route",
                message=f"{operation.title!r} ({operation.key}) works on {', '.join(holes)} after hardening: {_HARD}; "
                "move it "
                "before heat_treat",
                source=PRACTICE,
            )

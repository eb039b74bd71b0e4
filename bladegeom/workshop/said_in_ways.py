"""Numbers that a requirement leaves to a look or to a step in words, and that the design or its steel cannot have."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.order.measures import LENGTHS, measure, measures
from bladegeom.order.order import Order, Requirement
from bladegeom.order.order_ways import Finish, HandCheck, Measured
from bladegeom.order.ordered import HARDNESS
from bladegeom.order.rules_use import order_finding
from bladegeom.order.said import Said, said_in
from bladegeom.workshop.work import Work

_ROOM: Final = 0.03
"""By this share a number in words may be off and mean the same; own choice."""
_ANGLE: Final = 0.5
"""Nobody sharpens truer than this, degrees; own choice."""

_BLADE_BEFORE: Final = re.compile(r"\bblade(?: length)?(?: of| is|:)?\s*$", re.IGNORECASE)
_BLADE_BEHIND: Final = re.compile(r"[\s-]*(?:of )?blade\b|[\s-]*long\b", re.IGNORECASE)
_NO_LENGTH: Final = re.compile(r"[\s-]*(?:high|wide|deep|thick|tall|apart|from|off|at|behind|ahead)\b", re.IGNORECASE)
"""Behind a number that is not how long a blade is."""


def said_in_ways(work: Work, order: Order, knife: Knife) -> Iterator[Finding]:
    """Hardness, edge angle and length of the blade that stand in looks and finishes, and are not to be had.

    They are signed for at the end, when the steel is cut and hard: so they are asked about before.

    Args:
        work: As settled: its treatment says what the steel can have.
        order: Whose words.
        knife: The design.
    """
    for requirement in order.requirements:
        if requirement.weight == "open":
            continue
        for way in requirement.ways:
            text = way.finish if isinstance(way, Finish) else way.look if isinstance(way, HandCheck) else ""
            for of in (_hardness, _angle, _length) if text else ():
                told = of(requirement, text, work, knife)
                if told is not None and not (of is _angle and not _sharpens(way)):
                    yield order_finding(
                        "order-words", "warning", f"{requirement.name} leaves {told}: which counts?", _SOURCE
                    )


_SOURCE: Final = "the order: the customer's own words"


def _sharpens(way: object) -> bool:
    return isinstance(way, Finish) and way.operation == "sharpen"


def _hardness(requirement: Requirement, text: str, work: Work, knife: Knife) -> str | None:
    treatment = work.treatment_of(knife.stock.material.name)
    window, where = work.hardness, "the blade is tempered"
    if window is None and treatment is not None:
        window, where = treatment.reach, f"{treatment.steel} can be tempered"
    if window is None or _measures(requirement, (HARDNESS,)):
        return None
    said = _outside(text, "hardness", *window)
    return said and f"{said!r} to be seen at the end, and {where} to {window[0]:g} to {window[1]:g} HRC"


def _angle(_: Requirement, text: str, __: Work, knife: Knife) -> str | None:
    angle = measure("sharpening angle").of(knife)
    if angle is None:
        return None
    said = _outside(text, "angle", angle - _ANGLE, angle + _ANGLE)
    return said and f"{said!r} to the step, and the design is sharpened to {angle:g} degrees a side"


def _length(requirement: Requirement, text: str, _: Work, knife: Knife) -> str | None:
    if requirement.concerns != "blade" or _measures(requirement, LENGTHS):
        return None
    plain = " ".join(text.split())
    for said in said_in(plain):
        if said.kind == "length" and _of_blade(plain, said):
            lengths = [value for name in LENGTHS if (value := measures()[name].of(knife)) is not None]
            if not any(_is(said, value, _ROOM * value) for value in lengths):
                has = measure(LENGTHS[0])
                return f"{said.words!r} to be seen at the end, and the {has.name} is {has.show(lengths[0])}"
    return None


def _of_blade(text: str, said: Said) -> bool:
    before, behind = text[: said.start], text[said.start + len(said.words) :]
    return bool(_BLADE_BEHIND.match(behind)) or bool(_BLADE_BEFORE.search(before) and not _NO_LENGTH.match(behind))


def _measures(requirement: Requirement, names: tuple[str, ...]) -> bool:
    """Whether the requirement has a measure that tells; what misses it is told there."""
    return any(isinstance(way, Measured) and way.measure in names for way in requirement.ways)


def _outside(text: str, kind: str, low: float, high: float) -> str | None:
    """What a text says of a kind that has nothing in common with a window."""
    for said in said_in(text):
        if said.kind == kind and (said.low > high or said.high < low):
            return said.words
    return None


def _is(said: Said, value: float, room: float) -> bool:
    return said.low - room <= value <= said.high + room

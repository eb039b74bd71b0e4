"""What a maker is told of a mock-up: pieces, what differs in the hand, how to print it, cautions."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from bladegeom.mockups.ballast import Balance, Ballast, wished
from bladegeom.mockups.dowels import dowel_length
from bladegeom.mockups.pieces import Carved, Only
from bladegeom.mockups.printing import Printing
from bladegeom.quantities.balance_bands import from_front
from bladegeom.quantities.units import show_angle, show_length, show_mass, show_place, show_size

_ALIKE = 0.5
"""Balance points nearer than this are felt as one, mm: own choice."""

_CAUTION = (
    "a blunt model to hold: no knife and no toy; printed plastic breaks with sharp pieces, so do not lever, throw or "
    "strike with it, and keep it from children"
)

_LOOKS_LIKE_A_KNIFE = "it looks like a knife: local rules on carrying such things hold for it too"


class Facts(NamedTuple):
    """What is told, in numbers."""

    title: str
    plastic: Balance
    loaded: Balance
    wanted: Balance
    shortened: float
    carved: Carved
    lacks: tuple[str, ...]


def mockup_words(facts: Facts, printing: Printing, *, only: Only, halves: bool) -> Iterator[str]:
    """The lines, in the order in which they are wanted."""
    pieces = facts.carved.pieces
    beds = max(piece.bed for piece in pieces)
    what = "the handle" if only == "handle" else "the knife"
    yield (
        f"mock-up of {facts.title}: {what} in {_pieces(facts.carved)}, on {_counted(beds, 'bed')} of "
        f"{printing.print_bed.size}"
    )
    if only == "knife":
        yield (
            f"edge and tip at least {show_length(printing.least)} thick; the tip is rounded, which takes "
            f"{show_length(facts.shortened)} off its length"
        )
    for x in facts.carved.cuts:
        yield f"too long for the bed in one: cut across {from_front(x)}, with dowels in the cut"
    yield from _dowels(facts.carved, printing, halves=halves)
    yield from _balance(facts, printing, only=only, halves=halves)
    yield _how(facts.carved, printing, halves=halves)
    yield _CAUTION
    if only == "knife":
        yield _LOOKS_LIKE_A_KNIFE


def _pieces(carved: Carved) -> str:
    count = len(carved.pieces) - len(carved.plan.dowels)
    body = f"{count} pieces" if count > 1 else "one piece"
    return f"{body} and {_counted(len(carved.plan.dowels), 'dowel')}" if carved.plan.dowels else body


def _counted(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def _dowels(carved: Carved, printing: Printing, *, halves: bool) -> Iterator[str]:
    size = f"{show_length(printing.dowel_diameter)}, {show_length(dowel_length(printing))} long"
    if not carved.plan.dowels:
        if halves:
            wall = show_length(printing.least)
            yield f"no dowel of {size}, has room with {wall} about it: line the halves up by hand"
        return
    places = ", ".join(show_place(dowel.x, dowel.y) for dowel in carved.plan.dowels if dowel.along == "z")
    yield (
        f"{_counted(len(carved.plan.dowels), 'dowel')} of {size}, printed with it or cut from a rod, in holes "
        f"{show_length(printing.play)} wider{f'; between the halves at x, y in mm: {places}' if places else ''}"
    )


def _balance(facts: Facts, printing: Printing, *, only: Only, halves: bool) -> Iterator[str]:
    plastic, wanted = facts.plastic, facts.wanted
    made_of = f"{printing.made_of.name} of {printing.made_of.density_g_cm3:g} g/cm3, {_how_full(printing)}"
    if only == "handle":
        yield f"it weighs {show_mass(plastic.mass)} in {made_of}; a handle alone tells nothing of the balance"
        return
    for what in facts.lacks:
        mass = show_mass(plastic.mass)
        yield f"the {what} is not in it, nor in what the knife weighs; the mock-up weighs {mass} in {made_of}"
        return
    yield (
        f"it weighs {show_mass(plastic.mass)} in {made_of}, the knife {show_mass(wanted.mass)}; it balances "
        f"{from_front(plastic.x)}, the knife {from_front(wanted.x)}{_apart(plastic, wanted)}"
    )
    if facts.carved.plan.ballast is not None:
        yield from _bar(facts.carved.plan.ballast, facts, printing)
    elif halves:
        yield _no_bar(facts, printing)
    else:
        yield f"a bar needs halves with a pocket; {_needed(plastic, wanted)}"


def _how_full(printing: Printing) -> str:
    if printing.fill == 1:
        return "solid"
    return f"walls of {show_length(printing.wall)} and {100 * printing.fill:.0f} % filled between them"


def _bar(ballast: Ballast, facts: Facts, printing: Printing) -> Iterator[str]:
    lean = f", turned {show_angle(ballast.angle_deg)} degrees" if abs(ballast.angle_deg) > 0.01 else ""
    size = f"a flat bar {show_size(ballast.thickness, ballast.height)}, {show_length(ballast.length)} long"
    yield (
        f"ballast: {size}, {printing.weight_of.name}, {show_mass(ballast.mass)}, its middle at "
        f"x, y in mm: {show_place(ballast.x, ballast.y)}{lean}; its pocket is half in each half, bed it in glue"
    )
    more = "" if ballast.whole else ", which is as near as one bar brings it"
    yield f"with the bar it balances as the knife does and weighs {show_mass(facts.loaded.mass)}{more}"


def _no_bar(facts: Facts, printing: Printing) -> str:
    plastic, wanted = facts.plastic, facts.wanted
    if abs(plastic.x - wanted.x) < _ALIKE and plastic.mass >= wanted.mass:
        return "no ballast: it balances as the knife does without"
    none = f"no bar of {printing.weight_of.name} that would balance it has room"
    return f"{none}: {_needed(plastic, wanted)}; {_why(facts, printing)}"


def _why(facts: Facts, printing: Printing) -> str:
    """What would make room for one, or by how much there is too little."""
    plan = facts.carved.plan
    if plan.helpful_fill is not None:
        return f"printed {100 * plan.helpful_fill:.0f} % filled, one that brings the balance has room"
    if plan.best_part is None:
        side, wall = "ahead of" if facts.wanted.x > facts.plastic.x else "behind", show_length(printing.least)
        return f"{side} the knife's balance point not even a tenth of it has room within walls of {wall}"
    bar, takes = plan.best_part
    size = f"{show_size(bar.thickness, bar.height)}, {show_length(bar.length)} long"
    return (
        f"where most has room, {from_front(bar.x)}, it takes {show_mass(takes)} to balance it, and a bar of "
        f"{show_mass(bar.mass)} is the best ({size})"
    )


def _needed(plastic: Balance, wanted: Balance) -> str:
    wish = wished(plastic, wanted)
    if wish is None:
        return "it is heavier than the knife already"
    return f"mass and balance of the knife would need {show_mass(wish.mass)} more, its middle {from_front(wish.x)}"


def _how(carved: Carved, printing: Printing, *, halves: bool) -> str:
    turned = "printed as they lie, without supports" if halves else "it lies on its side and needs supports"
    if not halves:
        return f"{turned}; split in halves it needs none"
    filled = "with a bar in its pocket" if carved.plan.ballast else ""
    return (
        f"halves lie on their split faces, {turned}; walls of {show_length(printing.least)} at least; "
        f"glue them {filled + ' ' if filled else ''}under even pressure, with what the plastic's maker names for it"
    )


def _apart(one_balance: Balance, other: Balance) -> str:
    apart = one_balance.x - other.x
    if abs(apart) < _ALIKE:
        return ""
    return f": {show_length(abs(apart))} farther {'forward' if apart > 0 else 'back'} than the knife"

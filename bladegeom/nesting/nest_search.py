"""The order in which blanks are placed: tried many times, always the same way."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass

from bladegeom.nesting.nest_place import Filling, Layout, NestPlace

_PLACINGS = 1500
"""Blanks placed in all before a search ends; own choice by time, and a count so that the clock decides nothing."""

_LEAST, _MOST = 6, 150
"""Orders tried at least and at most; own choice."""

_SEED = 1


@dataclass(frozen=True)
class _Turn:
    """The next blank, and the one way in which it is to lie; None takes whichever ends farthest to the left."""

    blank: int
    way: int | None = None


@dataclass(frozen=True)
class Trial:
    """What came of one order: the places on each piece of stock, and how many of each blank found none."""

    pieces: tuple[tuple[NestPlace, ...], ...]
    left_out: tuple[int, ...]

    @property
    def cost(self) -> tuple[float, ...]:
        """Blanks without a place, then pieces of stock, then what is used of the last one, then of all."""
        reach = [_reach(piece) for piece in self.pieces]
        return sum(self.left_out), len(self.pieces), reach[-1] if reach else 0.0, round(sum(reach), 3)


def search_nest(rules: Layout, counts: Sequence[int], pieces: int) -> Trial:
    """The better of two nests: all pieces of stock filled together, and each filled for itself as well as it goes.

    Args:
        rules: What the nest is held to.
        counts: Copies of each blank.
        pieces: Of stock at hand.
    """
    together = _search(rules, counts, pieces)
    if len(together.pieces) == 1 and not sum(together.left_out):
        return together
    return min(together, _one_by_one(rules, counts, pieces), key=lambda trial: trial.cost)


def _one_by_one(rules: Layout, counts: Sequence[int], pieces: int) -> Trial:
    """The most steel on the first piece, and that again while there are blanks for it, then the rest."""
    left = list(counts)
    out: list[tuple[NestPlace, ...]] = []
    while sum(left) and len(out) < pieces:
        piece = _search(rules, left, 1, fullest=True).pieces[0]
        took = [sum(place.lying.blank == i for place in piece) for i in range(len(left))]
        times = min(have // need for have, need in zip(left, took, strict=True) if need)
        times = min(times, pieces - len(out))
        out += [piece] * times
        left = [have - times * need for have, need in zip(left, took, strict=True)]
    return Trial(tuple(out), tuple(left))


def _search(rules: Layout, counts: Sequence[int], pieces: int, *, fullest: bool = False) -> Trial:
    """The best of many orders: changed a little at a time, a change stays unless it is for the worse."""
    sizes = [max(way.around.area for way in rules.ways if way.blank == i) for i in range(len(counts))]
    order = [_Turn(i) for i in sorted(range(len(counts)), key=lambda i: -sizes[i]) for _ in range(counts[i])]
    if fullest:
        order = _enough(order, sizes, rules.stock.area)

    def cost(trial: Trial) -> tuple[float, ...]:
        if not fullest:
            return trial.cost
        return -sum(sizes[place.lying.blank] for place in trial.pieces[0]), _reach(trial.pieces[0])

    luck = random.Random(_SEED)
    upwards = True
    best = _tried(rules, order, len(counts), pieces, upwards=upwards)
    trials = max(_LEAST, min(_MOST, _PLACINGS // len(order)))
    for _ in range(trials if _has_choice(rules, order) else 0):
        window = min(len(order), sum(map(len, best.pieces)) + 1)
        change, turned = _changed(rules, order, window, luck), upwards ^ (luck.random() < 0.2)
        trial = _tried(rules, change, len(counts), pieces, upwards=turned)
        if cost(trial) <= cost(best):
            best, order, upwards = trial, change, turned
    return best


def _has_choice(rules: Layout, order: Sequence[_Turn]) -> bool:
    """Whether another order is another nest: equal blanks that can lie in one way only are all the same."""
    return len({turn.blank for turn in order}) > 1 or len(rules.ways_of(order[0].blank)) > 1


def _reach(piece: Sequence[NestPlace]) -> float:
    return round(max(place.right for place in piece), 3)


def _enough(order: Sequence[_Turn], sizes: Sequence[float], area: float) -> list[_Turn]:
    """Of each blank no more than one piece of stock could ever hold."""
    seen = [0] * len(sizes)
    out = []
    for turn in order:
        seen[turn.blank] += 1
        if seen[turn.blank] == 1 or seen[turn.blank] * sizes[turn.blank] <= area:
            out.append(turn)
    return out


def _changed(rules: Layout, order: Sequence[_Turn], window: int, luck: random.Random) -> list[_Turn]:
    """Two blanks change places, or one to three are told how to lie; one of the first few, which were placed."""
    out = list(order)
    if len({turn.blank for turn in out}) > 1 and luck.random() < 0.5:
        i = luck.randrange(window)
        j = luck.choice([k for k, turn in enumerate(out) if turn.blank != out[i].blank])
        out[i], out[j] = out[j], out[i]
        return out
    for _ in range(luck.randint(1, 3)):
        i = luck.randrange(window)
        out[i] = _Turn(out[i].blank, luck.choice([None, *rules.ways_of(out[i].blank)]))
    return out


def _tried(rules: Layout, order: Sequence[_Turn], kinds: int, pieces: int, *, upwards: bool) -> Trial:
    """Each blank goes onto the first piece that has room for it, a new one if none has and there is another."""
    filled: list[Filling] = []
    left_out = [0] * kinds
    for turn in order:
        ways = rules.ways_of(turn.blank)
        wanted = ways if turn.way is None else [turn.way]
        if any(filling.add(wanted) for filling in filled) or (
            turn.way is not None and any(filling.add(ways) for filling in filled)
        ):
            continue
        fresh = Filling(rules, upwards=upwards)
        if len(filled) < pieces and fresh.add(wanted):
            filled.append(fresh)
        else:
            left_out[turn.blank] += 1
    return Trial(tuple(tuple(filling.places) for filling in filled), tuple(left_out))

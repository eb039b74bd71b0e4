"""What is usual in a shop: paper, units, printer, hand, price list, the maker's name, rules, wheels and drills."""

from __future__ import annotations

import contextlib
import dataclasses
from collections.abc import Iterator, Mapping
from contextvars import ContextVar
from dataclasses import field
from functools import cached_property
from operator import attrgetter
from pathlib import Path
from typing import Annotated, Any, Final, Literal, Self

from bladegeom.drawing.printer import Printer
from bladegeom.knife.handle_rules import HandleRules
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import HoleRules, Shop
from bladegeom.quantities.declared import declared
from bladegeom.quantities.field_rules import Becomes, Length, Like, Says
from bladegeom.quantities.papers import paper
from bladegeom.quantities.stockroom import stockroom_open
from bladegeom.quantities.unit_order import FirstUnit, told_first
from bladegeom.quantities.usual import Usual, usual

Source = Literal["built in", "country of the locale", "settings file", "script", "option"]
"""Where a value comes from; each goes before those in front of it."""


def _paper_name(name: Any) -> str:
    return paper(name).name


@declared("settings", example='Settings(paper="Letter", units="inch")')
class Settings:
    """What is usual in a shop; a script that says something itself goes before it.

    Args:
        paper: That pages are printed on; what does not fit goes on the larger one, A3 or Tabloid, as well.
        units: Which is told first wherever a length is told in both.
        printer: What its two 100 mm bars measured, across and along: all pages are drawn against its error. None draws
            for any printer.
        hand_breadth: Of the usual hand, across the knuckles without the thumb, mm, where a script tells none.
        price_list: The file that a quote takes its prices from, where no other is named; its place is told from the
            folder of the settings file, or it is the name of one in the stockroom.
        stockroom: The folder of your own materials, hardware, profiles and price lists, each in a file that has
            its name; told from the folder of the settings file.
        maker: Your name, as you sign to a customer; None leaves a line to write on.
        hole_rules: Least distances of the holes.
        handle_rules: Least distances in the handle's stack.
        shop: Wheels and drills on hand, who cuts, how exactly the shop works, and what its edges and corners need.
        sources: Where values come from that are not built in, by key: ``{"shop.process": "settings file"}``.

    Raises:
        ParameterError: A value that no shop has.
        UnknownNameError: No such paper.

    >>> from bladegeom import HoleRules, Shop
    >>> settings = Settings(paper="Letter", units="inch", hole_rules=HoleRules(rim=4.0))
    >>> with settings.in_force():
    ...     HoleRules(web=3.5).rim, HoleRules(rim=5.0).rim
    ...
    (4.0, 5.0)
    """

    paper: Annotated[str, Becomes(_paper_name)] = "A4"
    units: FirstUnit = "mm"
    printer: Annotated[Printer, Like("Printer(across=99.6, along=100.2)")] | None = None
    hand_breadth: Length | None = None
    price_list: Annotated[Path, Like('Path("prices.toml")')] | None = None
    stockroom: Annotated[Path, Like('Path("stockroom")')] | None = None
    maker: Annotated[str, Says("the ship's smith")] | None = None
    hole_rules: HoleRules = HoleRules()  # built before any settings can be in force
    handle_rules: HandleRules = HandleRules()
    shop: Shop = Shop()
    sources: Mapping[str, Source] = field(default_factory=dict, hash=False)

    def changed(self, values: Mapping[str, object], source: Source) -> Self:
        """The same with other values.

        Args:
            values: By key, such as "paper" or "shop.process".
            source: Where they come from.
        """
        out = self
        for key, value in values.items():
            out = _with(out, key.split("."), value)
        return dataclasses.replace(out, sources={**self.sources, **dict.fromkeys(values, source)})

    def source(self, key: str) -> Source:
        """Where the value of a key comes from; what Python says is the script's.

        >>> Settings().source("paper"), Settings(paper="Letter").source("paper")
        ('built in', 'script')
        """
        held, usual = attrgetter(key)(self), attrgetter(key)(_BUILT_IN)
        return self.sources.get(key, "built in" if held == usual else "script")

    @property
    def decisive(self) -> tuple[object, ...]:
        """What decides about a knife, and not only how it is told and printed."""
        forced = tuple(sorted(key for key, source in self.sources.items() if source == "option"))
        return self.hand_breadth, self.hole_rules, self.handle_rules, self.shop, forced

    @contextlib.contextmanager
    def in_force(self) -> Iterator[None]:
        """While this lasts, rules, wheels, drills and the hand that nobody declares are these, and lengths are told so.

        Names of the maker's own are found in the stockroom. It holds in this thread alone. A :class:`Design` keeps the
        settings in force when it is made.
        """
        with self._lasting(Usual(unsaid=self._unsaid)):
            yield

    @contextlib.contextmanager
    def over_script(self) -> Iterator[None]:
        """The same while a script runs: what comes from an option goes before what the script says."""
        with self._lasting(Usual(unsaid=self._unsaid, over=self._over)):
            yield

    @contextlib.contextmanager
    def _lasting(self, values: Usual) -> Iterator[None]:
        token = _IN_FORCE.set(self)
        try:
            with told_first(self.units), usual(values), stockroom_open(self.stockroom):
                yield
        finally:
            _IN_FORCE.reset(token)

    @cached_property
    def _unsaid(self) -> dict[type, dict[str, object]]:
        groups = (self.hole_rules, self.handle_rules, self.shop, self.shop.tolerances)
        of_groups: dict[type, dict[str, object]] = {type(group): _values(group) for group in groups}
        return {**of_groups, Knife: {"hand_breadth": self.hand_breadth}}

    @cached_property
    def _over(self) -> dict[type, dict[str, object]]:
        out: dict[type, dict[str, object]] = {}
        for key in (key for key, source in self.sources.items() if source == "option"):
            group, _, name = key.rpartition(".")
            if group or name == "hand_breadth":
                kind = type(attrgetter(group)(self)) if group else Knife
                out.setdefault(kind, {})[name] = attrgetter(key)(self)
        return out


_BUILT_IN: Final = Settings()

_IN_FORCE: Final[ContextVar[Settings]] = ContextVar("settings in force", default=_BUILT_IN)  # it is frozen


def settings_in_force() -> Settings:
    """The settings that hold now; those that are built in, where none were put in force."""
    return _IN_FORCE.get()


def _with(thing: Any, path: list[str], value: object) -> Any:
    name, *rest = path
    return dataclasses.replace(thing, **{name: _with(getattr(thing, name), rest, value) if rest else value})


def _values(group: Any) -> dict[str, object]:
    return {each.name: getattr(group, each.name) for each in dataclasses.fields(group)}

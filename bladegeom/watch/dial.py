"""The parameters of a script's design as a maker turns them: kind, unit, range, step, words."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from bladegeom.design.override import is_count, is_length, named_choices, read_value
from bladegeom.design.script import Script
from bladegeom.outline.parameter import Parameter, parameters
from bladegeom.quantities.docstrings import said_of
from bladegeom.quantities.materials import MATERIAL_KINDS, materials, own_kinds
from bladegeom.quantities.stockroom import stockroom_open
from bladegeom.quantities.told import told
from bladegeom.quantities.units import show_angle, show_length
from bladegeom.watch.dial_range import Range, own_range, widened

Kind = Literal["length", "number", "whole", "choice", "yes_no", "text", "fixed"]

_NUMBERS: Final = ("length", "number", "whole")

_UNITS: Final = {"_deg": "degrees", "_g_cm3": "g/cm3", "_g": "g", "_c": "C", "_hrc": "HRC"}
"""Of numbers that are no lengths, by the end of their names."""

_OWN_WORDS: Final = {"deg": "degrees", "power": ""}
"""Units of profiles that read otherwise beside a number."""

_LARGEST: Final = 1e15
"""Numbers up to it are kept apart to a tenth; own choice, no maker counts so far."""

_METALS: Final = ("steel", "metal")

_SAID: Final = re.compile(r"(?P<indent>\s*)(?P<name>\w+)(?:\s*\([^)]*\))?:\s*(?P<words>.*)")


@dataclass(frozen=True, kw_only=True)
class Dial:
    """One parameter of a design.

    Args:
        parameter: As ``design()`` declares it; its default is the script's.
        kind: How it is turned; "fixed" is set in the script alone.
        unit: Of its number, empty where there is none.
        range: Where a slider runs, and by which steps; None of what is no number.
        choices: Texts that it may be; of a text those that are known where it names a material, and any other will do.
        said: What it is, in the words of the script or of the profile; empty where nobody says.
    """

    parameter: inspect.Parameter
    kind: Kind
    unit: str
    range: Range | None
    choices: tuple[str, ...]
    said: str

    @property
    def name(self) -> str:
        """As the script calls it."""
        return self.parameter.name

    @property
    def label(self) -> str:
        """The same in words."""
        end = next((end for end in _UNITS if self.name.endswith(end)), "")
        return self.name.removesuffix(end).replace("_", " ")

    def read(self, text: str) -> object:
        """A value as the command line reads it.

        Raises:
            ParameterError: It is none.
        """
        return read_value(self.parameter, text)

    def written(self, value: object) -> str:
        """A value as it is put into a box: the number alone, in mm where it is a length."""
        if isinstance(value, bool):
            return "yes" if value else "no"
        if self.kind == "fixed":
            return told(value)
        return f"{float(value)!r}".removesuffix(".0") if isinstance(value, float) else str(value)

    def shown(self, value: object) -> str:
        """A value as it is told beside its name."""
        if self.kind == "length" and isinstance(value, int | float):
            return show_length(value)
        if self.unit == "degrees" and isinstance(value, int | float):
            return f"{show_angle(value)} degrees"
        return f"{self.written(value)} {self.unit}".rstrip()


def dials(script: Script, called: Mapping[str, object], profiles: Iterable[object]) -> tuple[Dial, ...]:
    """Every parameter of a design, in the order declared.

    Args:
        script: Whose design it is.
        called: The values with which the profiles were made.
        profiles: Of the knife; one that has a parameter of that name and value lends its range and its words.
    """
    said = words_of_arguments(said_of(script.function))
    shapes = tuple(profiles)
    with stockroom_open(script.settings.stockroom):
        return tuple(_dial(p, called[name], shapes, said.get(name, "")) for name, p in script.parameters.items())


def _dial(p: inspect.Parameter, value: object, profiles: tuple[object, ...], said: str) -> Dial:
    kind = _kind(p)
    unit = _unit(p, kind)
    lent = _lent(p.name, value, profiles) if kind in _NUMBERS else None
    reach: Range | None = None
    if kind in _NUMBERS:
        reach = Range.between(lent.low, lent.high, whole=kind == "whole") if lent else own_range(p.default, kind, unit)
        reach = widened(reach, p.default)
    return Dial(
        parameter=p,
        kind=kind if lent is None or lent.unit == "mm" or kind == "whole" else "number",
        unit=unit if lent is None else _OWN_WORDS.get(lent.unit, lent.unit),
        range=reach,
        choices=_choices(p, kind),
        said=said or (lent.meaning if lent else ""),
    )


def _kind(p: inspect.Parameter) -> Kind:
    if named_choices(p):
        return "choice"
    if isinstance(p.default, bool):
        return "yes_no"
    if isinstance(p.default, str):
        return "text"
    if not _is_number(p.default):
        return "fixed"
    if is_count(p):
        return "whole"
    return "length" if is_length(p) else "number"


def _is_number(value: object) -> bool:
    """Whether a slider can have its range around a value."""
    return isinstance(value, int | float) and abs(value) <= _LARGEST


def _unit(p: inspect.Parameter, kind: Kind) -> str:
    if kind not in ("length", "number"):
        return ""
    return next((unit for end, unit in _UNITS.items() if p.name.endswith(end)), "mm")


def _choices(p: inspect.Parameter, kind: Kind) -> tuple[str, ...]:
    """The words that it may be; materials for a text that names one: metals for a metal, the others for the others."""
    if kind == "choice":
        return tuple(named_choices(p))
    if kind != "text":
        return ()
    own = own_kinds()
    known = {called: row.kind for row in materials() for called in (row.name, *row.also)} | own
    if p.default not in known:
        return ()
    kinds = _METALS if known[p.default] in _METALS else set(MATERIAL_KINDS) - {*_METALS, "adhesive"}
    return tuple(name for name, of in (*own.items(), *((row.name, row.kind) for row in materials())) if of in kinds)


def _lent(name: str, value: object, profiles: tuple[object, ...]) -> Parameter | None:
    """The parameter of a profile that this one sets: of the same name, or of its last words, and of the same value."""
    known = [(p, getattr(profile, p.name)) for profile in profiles for p in _parameters(profile)]
    known = [(p, there) for p, there in known if there == value]
    for fits in (lambda own: own == name, lambda own: name.endswith(f"_{own}")):
        found = [p for p, _ in known if fits(p.name)]
        if len(found) == 1:
            return found[0]
    return None


def _parameters(profile: object) -> tuple[Parameter, ...]:
    # A maker's own half may be any class that draws curves.
    return parameters(profile) if hasattr(type(profile), "__dataclass_fields__") else ()


def words_of_arguments(docstring: str) -> dict[str, str]:
    """What a docstring's ``Args:`` says of each argument, by its name.

    >>> words_of_arguments("A knife." + chr(10) + "Args:" + chr(10) + "    height: At the heel.")
    {'height': 'At the heel.'}
    """
    lines = docstring.expandtabs().splitlines()
    heads = [i for i, line in enumerate(lines) if line.strip() in ("Args:", "Arguments:", "Parameters:")]
    said: dict[str, str] = {}
    name, indent = "", 0
    for line in lines[heads[0] + 1 :] if heads else ():
        if line.strip() and not line.startswith(" "):
            break
        found = _SAID.fullmatch(line)
        if found and (not said or len(found["indent"]) <= indent):
            name, indent = found["name"], len(found["indent"])
            said[name] = found["words"].strip()
        elif name and line.strip():
            said[name] = f"{said[name]} {line.strip()}".strip()
    return said

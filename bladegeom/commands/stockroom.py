"""What lies in the maker's stockroom, file by file, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from bladegeom import profiles
from bladegeom.fasteners.own_hardware import read_hardware
from bladegeom.price.price_list_toml import read_prices
from bladegeom.quantities.errors import BladegeomError
from bladegeom.quantities.materials import filed_material
from bladegeom.quantities.own_materials import OWN_KINDS
from bladegeom.quantities.own_treatment import own_treatment
from bladegeom.quantities.stockroom import SHELVES, Stocked, stocked, stocked_as, strangers
from bladegeom.settings.settings import Settings


def stockroom_words(settings: Settings) -> str:
    """Each file of the stockroom with what it holds or what is wrong with it; empty where the settings name none.

    A file that is wrong hurts nobody until its name is used: then it is an error.

    Args:
        settings: Of a shop.
    """
    if settings.stockroom is None:
        return ""
    with settings.in_force():
        try:
            told = [f"  {file.place}: {_said(file)}" for file in stocked(*SHELVES)]
            told += [f"  warning: {words}" for words in strangers()]
        except BladegeomError as error:
            told = [f"  warning: {error}"]
    return "\n".join([f"stockroom {settings.stockroom}", *(told or ["  nothing lies in it"])])


def _said(file: Stocked) -> str:
    try:
        stocked_as(file.name, *_SAME_NAMES.get(file.shelf, (file.shelf,)))
        return _READ[file.shelf](file)
    except BladegeomError as error:
        return f"warning: {error}"


def _material(file: Stocked) -> str:
    read = filed_material(file)
    treated = file.shelf == "steels" and own_treatment(file.name) is not None
    return f"{read.kind} {read.name!r}, {read.density_g_cm3:g} g/cm3{', with its heat treatment' if treated else ''}"


def _hardware(file: Stocked) -> str:
    return f"{read_hardware(file).kind} {file.name!r}"


def _profile(file: Stocked) -> str:
    found = profiles.own_profile(file)
    return f"{profiles.half(found)} profile {profiles.name_of(found)!r}"


def _prices(file: Stocked) -> str:
    read = read_prices(file.path)
    return f"price list {file.name!r} in {read.currency} of {read.date}"


_SAME_NAMES: Final[Mapping[str, tuple[str, ...]]] = dict.fromkeys(OWN_KINDS, tuple(OWN_KINDS))
"""Shelves that no name may stand on twice."""

_READ: Final[Mapping[str, Callable[[Stocked], str]]] = {
    **dict.fromkeys(OWN_KINDS, _material),
    "hardware": _hardware,
    "profiles": _profile,
    "prices": _prices,
}

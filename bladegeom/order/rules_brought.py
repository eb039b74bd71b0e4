"""What the customer brings, beside what the design needs of it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.order.order import Order
from bladegeom.order.order_facts import OwnMaterial
from bladegeom.order.order_features import parts_of
from bladegeom.order.rules_use import order_finding
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length

_BESIDE: Final = ("sheath", "lanyard", "box")
"""What is made beside the design, and can be brought for too."""


@rule(
    Code("order-own-part", ("warning",), "the customer brings material for a part that the design does not have"),
    Code("order-own-risk", ("warning",), "who bears the risk of brought material is not agreed"),
    Code("order-own-open", ("warning",), "a size of brought material is not told"),
    Code("order-slab", ("error",), "brought material is too thin for the design"),
    Code("order-own-enough", ("error",), "brought material is not enough for the knives ordered"),
)
def own_material(order: Order, knife: Knife) -> Iterator[Finding]:
    """A piece too thin, too small for all knives, never measured, for no part, or that nobody bears the risk of."""
    parts = parts_of(knife)
    for material in order.own_materials:
        if material.part not in parts and material.part not in _BESIDE:
            text = (
                f"{material.what} is brought for the {material.part}, which the design does not have: it has "
                f"{', '.join(parts)}"
            )
            yield order_finding("order-own-part", "warning", text, "the order and the design")
        yield from _thickness(material, knife)
        yield from _enough(material, order.quantity)
        if material.irreplaceable and not material.risk.strip():
            text = (
                f"{material.what} cannot be had twice, and nothing is agreed if it breaks: write the risk that was "
                "agreed"
            )
            yield order_finding("order-own-risk", "warning", text)


def _thickness(material: OwnMaterial, knife: Knife) -> Iterator[Finding]:
    needed = _needed(knife).get(material.part)
    if needed is None:
        return
    need, why, way_out = needed
    if material.thickness is None:
        text = (
            f"nobody measured how thick {material.what} is, and {why} of {show_length(need)}: measure it, set "
            "thickness="
        )
        yield order_finding("order-own-open", "warning", text)
        return
    has = float(material.thickness)
    if has < need - SHOP:
        yield order_finding(
            "order-slab",
            "error",
            f"{material.what} is {show_length(has)} thick, and {why} of {show_length(need)}: {show_length(need - has)} "
            "is "
            f"missing; {way_out}",
            "geometry of the design",
            measured=has,
            limit=need,
        )


def _needed(knife: Knife) -> dict[str, tuple[float, str, str]]:
    """By part: how thick the piece must be, mm, what for, and what to do about one that is not."""
    out = {"steel": (knife.stock.thickness, "the blade is cut from a bar", "make the blade thinner")}
    if knife.scales is not None:
        out["scales"] = (
            knife.scales.slab_thickness,
            "the scales are drilled from slabs",
            "make them thinner, or put liners under them",
        )
        if knife.scales.liners:
            thickest = max(liner.thickness for liner in knife.scales.liners)
            out["liners"] = (thickest, "the liners are cut from a sheet", "make them thinner, or double the sheet")
    return out


def _enough(material: OwnMaterial, quantity: int) -> Iterator[Finding]:
    if material.enough_for is None:
        if quantity > 1:
            text = (
                f"{quantity} knives are ordered: is {material.what} enough for all of them? Lay it out, set enough_for="
            )
            yield order_finding("order-own-open", "warning", text)
    elif material.enough_for < quantity:
        yield order_finding(
            "order-own-enough",
            "error",
            f"{material.what} is enough for {material.enough_for} of {quantity} knives: settle what the others get, or "
            "ask for "
            "more of it",
            "the order",
            measured=float(material.enough_for),
            limit=float(quantity),
        )

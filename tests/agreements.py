"""A design that was agreed on, and changes made to it since: those that a customer sees, and those that nobody does."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any, Final

import numpy as np

from bladegeom import (
    AddStep,
    Change,
    Cutting,
    Delivery,
    Design,
    Finish,
    FlatBevel,
    Glue,
    HollowBevel,
    Lead,
    Liner,
    MadeOf,
    Measured,
    Number,
    Operation,
    Order,
    OwnMaterial,
    Payment,
    Pin,
    Process,
    Reference,
    Requirement,
    Rounding,
    Sheath,
    Signed,
    Slot,
    Tabs,
    Work,
    drill_index,
    join_halves,
    material,
)
from bladegeom.curves.curve import join, split
from bladegeom.outline.outline import Outline
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled
from bladegeom.quantities.steel_treatments import heat_treatment

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
SIGNED: Final = Signed(customer="the bosun", maker="the smith", date=date(2026, 3, 9), how="on paper")

ORDER: Final = Order(
    number="S-13",
    customer="the bosun",
    date=date(2026, 3, 2),
    needed_by=date(2026, 6, 15),
    use=("rope", "food"),
    environment=("salt water", "wet"),
    hand="left",
    allergies=("nickel",),
    length_limit=120.0,
    sheath=Sheath(material="leather", side="left", belt=40.0),
    payment=Payment(budget=640.0, deposit=150.0),
    delivery=Delivery(ship_to="fetched at the workshop"),
    lead=Lead(queue=30, work=14),
    references=(Reference(what="the old rigging knife", liked=("shape",)),),
    own_materials=(OwnMaterial(what="a brass tube", part="lanyard tube", thickness=1.0),),
    requirements=(
        Requirement(
            number=1,
            text="four inches of blade and no more",
            concerns="blade",
            met=Measured(measure="blade length", nominal=105.0, tolerance=1.0),
        ),
        Requirement(
            number=2,
            text="it must not rust",
            concerns="steel",
            met=(MadeOf(part="steel", material="1.4116"), Measured(measure="hardness", low=55.0, high=57.0)),
        ),
        Requirement(number=3, text="a lanyard that does not chafe", concerns="lanyard", weight="open"),
        Requirement(
            number=5,
            text="kind to my finger",
            concerns="blade",
            met=Finish(operation="ease_spine", finish="corners eased"),
        ),
    ),
)
EASE: Final = AddStep(
    operation=Operation(
        key="ease_spine",
        title="Ease the spine",
        tasks=("Both corners from the handle 40 mm forward.", "Cloth, lengthwise."),
        numbers=(Number(what="grit of the cloth", unit="count", value=400.0),),
        blanks=(Number(what="length that is eased", value=40.0, low=38.0, high=45.0),),
        waits=(Number(what="glue of the cloth dries", unit="h", value=2.0),),
    ),
    after="finish_grind",
)
WORK: Final = Work(hardness=(55.0, 57.0), finish="satin, lengthwise", mark="engraved", etch="coffee")


@cache
def agreed_design() -> Design:
    """The rigging knife of the examples, with an order and work of its own."""
    plain = Design.from_script(EXAMPLES / "rigging_knife.py")
    made = Design(plain.knife, order=ORDER, work=WORK, steps=(EASE,))
    return dataclasses.replace(made, agreed=made.agreeing(SIGNED))


def put(value: Any, path: str, new: Any) -> Any:
    """A declared value with another one somewhere in it: "knife.zones.0.text"."""
    first, _, rest = path.partition(".")
    if isinstance(value, tuple):
        i = int(first)
        held = value[i]
        return (*value[:i], put(held, rest, new) if rest else new, *value[i + 1 :])
    return dataclasses.replace(value, **{first: put(getattr(value, first), rest, new) if rest else new})


def outline(*, blade: Mapping[str, float] | None = None, handle: Mapping[str, float] | None = None) -> Outline:
    """The rigging knife's, with parameters of its profiles changed."""
    return join_halves(
        DropPoint(**{"blade_length": 105.0, **(blade or {})}), Swelled(**{"length": 118.0, **(handle or {})})
    )


def without(path: str, index: int) -> Callable[[Design], Design]:
    """One entry of a row gone."""

    def change(design: Design) -> Design:
        row = _held(design, path)
        return put(design, path, row[:index] + row[index + 1 :])  # type: ignore[no-any-return]

    return change


def also(path: str, *more: Any) -> Callable[[Design], Design]:
    """More entries in a row."""
    return lambda design: put(design, path, (*_held(design, path), *more))


def turned_round(path: str) -> Callable[[Design], Design]:
    """A row in the opposite order."""
    return lambda design: put(design, path, _held(design, path)[::-1])


def _held(design: Design, path: str) -> Any:
    value: Any = design
    for name in path.split("."):
        value = value[int(name)] if isinstance(value, tuple) else getattr(value, name)
    return value


def to(path: str, new: Any) -> Callable[[Design], Design]:
    """Another value somewhere."""
    return lambda design: put(design, path, new)


def by(path: str, more: float) -> Callable[[Design], Design]:
    """A number somewhere that is so much more."""
    return lambda design: put(design, path, _held(design, path) + more)


SCREWS, TUBE = "knife.fasteners.1.hardware", "knife.fasteners.0.hardware"
RED: Final = dataclasses.replace(material("G-10"), name="G-10, red")
ASKED: Final = Requirement(number=4, text="a whistle in the sheath", concerns="sheath", weight="open")

SEEN: Final[dict[str, tuple[str, Callable[[Design], Design]]]] = {
    "shorter blade": ("agreed-length", to("knife.outline", outline(blade={"blade_length": 100.0}))),
    "shorter handle": ("agreed-length", to("knife.outline", outline(handle={"length": 116.0}))),
    "higher blade": ("agreed-shape", to("knife.outline", outline(blade={"height": 33.0}))),
    "flatter palm": ("agreed-shape", to("knife.outline", outline(handle={"swell": 2.0}))),
    "thicker steel": ("agreed-shape", by("knife.stock.thickness", 0.2)),
    "another steel": ("agreed-material", to("knife.stock.steel", "1.4034")),
    "tapered tang": ("agreed-shape", to("knife.stock.taper", ((-118.0, 3.0), (0.0, 3.9)))),
    "lower bevel": ("agreed-shape", to("knife.grind.bevel", FlatBevel(height=15.0, edge_thickness=0.4))),
    "hollow grind": (
        "agreed-shape",
        to("knife.grind.bevel", HollowBevel(wheel_diameter=254.0, height=17.0, edge_thickness=0.4)),
    ),
    "thinner edge": ("agreed-shape", to("knife.grind.bevel", FlatBevel(height=17.0, edge_thickness=0.3))),
    "plunge farther back": ("agreed-shape", by("knife.grind.plunge.x", -1.0)),
    "upright plunge": ("agreed-shape", to("knife.grind.plunge.lean_deg", 0.0)),
    "sharp plunge": ("agreed-shape", to("knife.grind.plunge.radius", 0.0)),
    "one-sided grind": ("agreed-shape", to("knife.grind.only", "right")),
    "finer sharpening": ("agreed-shape", to("knife.grind.sharpen_deg", 15.0)),
    "upright handle front": ("agreed-shape", to("knife.front_lean_deg", 0.0)),
    "bowed handle front": ("agreed-shape", to("knife.front_bow", 1.0)),
    "scales of another material": ("agreed-material", to("knife.scales.slab", "Juglans nigra")),
    "thicker scales": ("agreed-shape", by("knife.scales.thickness", 0.5)),
    "flatter swell": ("agreed-shape", to("knife.scales.swell", ((-118.0, 8.0), (-70.0, 8.5), (0.0, 8.0)))),
    "wider rounding": ("agreed-shape", to("knife.scales.rounding.0.width", 13.0)),
    "no broken edge": ("agreed-shape", without("knife.scales.rounding", 1)),
    "square handle front": ("agreed-shape", to("knife.scales.front_rounding", None)),
    "liners of another colour": ("agreed-material", to("knife.scales.liners.0.sheet", RED)),
    "thicker liners": ("agreed-material", by("knife.scales.liners.0.thickness", 0.2)),
    "no liners": ("agreed-material", to("knife.scales.liners", ())),
    "second liner": ("agreed-material", also("knife.scales.liners", Liner(sheet=RED, thickness=0.5))),
    "another text": ("agreed-mark", to("knife.zones.0.text", "DECK 2")),
    "mark farther ahead": ("agreed-mark", by("knife.zones.0.x", 2.0)),
    "smaller mark": ("agreed-mark", by("knife.zones.0.height", -1.0)),
    "mark on the left": ("agreed-mark", to("knife.zones.0.side", "left")),
    "no mark": ("agreed-mark", without("knife.zones", 0)),
    "deeper texture": ("agreed-texture", by("knife.zones.1.depth", 0.1)),
    "longer texture": ("agreed-texture", by("knife.zones.1.end", 4.0)),
    "texture on one side": ("agreed-texture", to("knife.zones.1.side", "right")),
    "sparser texture": ("agreed-texture", to("knife.zones.1.share", 0.3)),
    "no texture": ("agreed-texture", without("knife.zones", 1)),
    "brass screws": ("agreed-material", to(f"{SCREWS}.screws", "C36000")),
    "deeper screw heads": ("agreed-hardware", by(f"{SCREWS}.recess", 0.3)),
    "larger screws": ("agreed-hardware", to(SCREWS, None)),
    "pins in place of screws": ("agreed-hardware", to(SCREWS, Pin(rod="304", diameter=6.35))),
    "brass lanyard tube": ("agreed-material", to(f"{TUBE}.metal", "C26000")),
    "narrower lanyard tube": ("agreed-hardware", by(f"{TUBE}.inside", -0.5)),
    "tube farther ahead": ("agreed-hardware", by("knife.fasteners.0.x", 2.0)),
    "no lanyard tube": ("agreed-hardware", without("knife.fasteners", 0)),
    "bare tang": ("agreed-shape", lambda design: put(put(design, "knife.fasteners", ()), "knife.scales", None)),
    "another finish": ("agreed-finish", to("work.finish", "mirror")),
    "no etch": ("agreed-finish", to("work.etch", "")),
    "mark that is etched": ("agreed-mark", to("work.mark", "etched through a stencil")),
    "softer steel": ("agreed-material", to("work.hardness", (53.0, 55.0))),
    "requirement in other words": ("agreed-order", to("order.requirements.0.text", "about four inches of blade")),
    "requirement gone": ("agreed-order", without("order.requirements", 1)),
    "requirement added": ("agreed-order", also("order.requirements", ASKED)),
    "requirement held less strictly": ("agreed-order", to("order.requirements.0.met.0.tolerance", 4.0)),
    "requirement held more strictly": (
        "agreed-order",
        also("order.requirements.0.met", Measured(measure="sharpening angle", high=20.0)),
    ),
    "a later date": ("agreed-order", to("order.needed_by", date(2026, 7, 15))),
    "two knives": ("agreed-order", to("order.quantity", 2)),
    "a word said later": ("agreed-order", also("order.changes", Change(date=date(2026, 3, 20), text="thinner?"))),
    "another allergy": ("agreed-order", also("order.allergies", "chromium")),
    "sheath on the right": ("agreed-order", to("order.sheath.side", "right")),
    "larger deposit": ("agreed-price", to("order.payment.deposit", 200.0)),
    "lightened until it is felt": ("agreed-weight", to("knife.holes", ())),
    "ring of glue round the tube": ("agreed-hardware", to(f"{TUBE}.scale_hole", 7.0)),
    "ring of shadow round the screws": ("agreed-hardware", to(f"{SCREWS}.head_hole", 6.5)),
    "number of a step that a wish asks for": ("agreed-order", to("steps.0.operation.blanks.0.value", 39.0)),
    "limit of a step that a wish asks for": ("agreed-order", to("steps.0.operation.blanks.0.low", None)),
    "setting of a step that a wish asks for": ("agreed-order", to("steps.0.operation.numbers.0.value", 240.0)),
    "number in the words of such a step": (
        "agreed-order",
        to("steps.0.operation.tasks.0", "Both corners from the handle 20 mm forward."),
    ),
    "a task with a number added": ("agreed-order", also("steps.0.operation.tasks", "Again with grit 600.")),
    "another title of such a step": ("agreed-order", to("steps.0.operation.title", "Break the spine")),
    "a step that a wish asks for gone": ("agreed-order", without("steps", 0)),
}
"""Changes that a customer sees or feels, and the code under which each is told."""


def bigger_screws(design: Design) -> Design:
    """The same screws of the next size."""
    hardware = _held(design, SCREWS)
    return put(design, SCREWS, dataclasses.replace(hardware, thread="#6-32"))  # type: ignore[no-any-return]


SEEN["larger screws"] = ("agreed-hardware", bigger_screws)


def split_spine(design: Design) -> Design:
    """The same line, drawn in more pieces."""
    spine = design.knife.outline.spine
    return put(design, "knife.outline.spine", join(*split(spine, 0.5)))  # type: ignore[no-any-return]


def lifted_spine(design: Design) -> Design:
    """A spine that bulges by a few hundredths of a millimetre."""
    spine = design.knife.outline.spine
    pieces = np.array(spine.pieces)
    pieces[0, 1:3, 1] += 0.03
    return put(design, "knife.outline.spine", type(spine)(pieces))  # type: ignore[no-any-return]


def hole_moved(design: Design) -> Design:
    """One of the holes that lighten the tang, a little farther on."""
    return by("knife.holes.0.diameter", -1.0)(by("knife.holes.0.x", 0.5)(design))


def hole_as_slot(design: Design) -> Design:
    """A slot in place of one of the holes under the scales."""
    hole = design.knife.holes[1]
    slot = Slot(
        start=(hole.x - 1.0, hole.y), end=(hole.x + 1.0, hole.y), diameter=hole.diameter - 2.0, purpose=hole.purpose
    )
    return to("knife.holes.1", slot)(design)


OWN_STEP: Final = AddStep(
    operation=Operation(key="look", title="Look at it again", blanks=(Number(what="light", unit="text"),)),
    after="surface",
)

UNSEEN: Final[dict[str, Callable[[Design], Design]]] = {
    "hole under the scales moved": hole_moved,
    "hole under the scales gone": without("knife.holes", 0),
    "slot under the scales": hole_as_slot,
    "holes drilled and not cut": to("knife.holes.0.made", "drilled"),
    "fastener's hole reamed": to("knife.fasteners.1.made", "reamed"),
    "thicker edge for hardening": to("knife.grind.rough_edge", 1.0),
    "ground after hardening": to("knife.grind.rough_edge", None),
    "thicker slab": to("knife.scales.sanding", 1.0),
    "wider overhang": to("knife.scales.overhang", 2.0),
    "wider margin": to("knife.scales.margin", 6.0),
    "liners glued first": to("knife.scales.liners_glued", True),  # noqa: FBT003  # a field by its name
    "rule of the rim": to("knife.rules.rim", 2.5),
    "rule of the web": to("knife.rules.web", 2.5),
    "rule of the net width": to("knife.rules.net_width", 0.45),
    "rule of the floor": to("knife.handle_rules.floor", 0.8),
    "rule of the wall": to("knife.handle_rules.wall", 0.4),
    "other wheels": to("knife.shop.contact_wheels", (25.4, 100.0)),
    "metric drills": to("knife.shop.drills", drill_index("metric")),
    "cut by laser": to("knife.shop.process", Process.named("laser")),
    "finer depth stop": to("knife.shop.tolerances.depth_stop", 0.05),
    "cut with an allowance": to("knife.cutting", Cutting(allowance=0.3)),
    "holes cut under size": to("knife.cutting", Cutting(undersize=0.25)),
    "pilot holes": to("knife.cutting", Cutting(pilot=3.0)),
    "tabs": to("knife.cutting", Cutting(tabs=Tabs(count=3))),
    "maker's revision": to("knife.revision", "C"),
    "hand that is checked": to("knife.hand_breadth", 92.0),
    "balance that is wanted": to("knife.balance", "hunter"),
    "longer standoff": by(f"{SCREWS}.length", 0.5),
    "standoff of another metal": to(f"{SCREWS}.sleeve", "C36000"),
    "close screw holes": to(f"{SCREWS}.fit", "close"),
    "longer screws": to(f"{SCREWS}.screw_length", 8.0),
    "play of the pocket": to(f"{SCREWS}.pocket_play", 0.3),
    "room for glue": to(f"{TUBE}.tang_hole", 6.6),
    "room for glue in the scale": to(f"{TUBE}.scale_hole", 6.6),
    "steel left under the texture": to("knife.zones.1.least_thickness", 2.5),
    "mean depth of the grooves": to("knife.zones.1.mean_depth", 0.6),
    "days of work": to("order.lead.work", 20.0),
    "requirement filed elsewhere": to("order.requirements.0.concerns", "edge"),
    "maker's note": to("order.note", "wrote to her on Monday"),
    "plank measured": to("order.own_materials.0.thickness", 1.1),
    "glue": to("work.glue", Glue(open_minutes=20.0)),
    "numbers of the treatment": to(
        "work.treatment", dataclasses.replace(heat_treatment("1.4116"), austenitize_c=1040.0)
    ),
    "a step of the maker's own": also("steps", OWN_STEP),
    "a step that a wish asks for in other words": to(
        "steps.0.operation.tasks.0", "Both the corners, from the handle 40 mm forward!"
    ),
    "wait in a step that a wish asks for": to("steps.0.operation.waits.0.value", 3.0),
    "such a step at another time": to("steps.0", AddStep(operation=EASE.operation, after="surface")),
    "hole under the heads of the screws": to(f"{SCREWS}.screw_hole", 4.0),
    "spine moved by three hundredths": lifted_spine,
    "steel thicker by two hundredths": by("knife.stock.thickness", 0.02),
    "liner thicker by two hundredths": by("knife.scales.liners.0.thickness", 0.02),
    "rounding wider by a tenth": by("knife.scales.rounding.0.width", 0.1),
    "mark moved by a tenth": by("knife.zones.0.x", 0.1),
    "better known density": to("knife.scales.slab", dataclasses.replace(material("NEMA L"), density_g_cm3=1.35)),
}
"""Changes that nobody sees; each is told in the note."""

THE_SAME: Final[dict[str, Callable[[Design], Design]]] = {
    "spine in more pieces": split_spine,
    "fasteners in another order": turned_round("knife.fasteners"),
    "holes in another order": turned_round("knife.holes"),
    "zones in another order": turned_round("knife.zones"),
    "roundings in another order": turned_round("knife.scales.rounding"),
    "requirements in another order": turned_round("order.requirements"),
    "uses in another order": turned_round("order.use"),
    "allowed codes": to("allowed", ("agreed-shape",)),
    "parameters": to("parameters", {"blade_length": 105.0}),
}
"""Changes that change nothing."""

ROUNDED: Final = Rounding(width=1.0, depth=1.0)

"""Orders that are sound, and the same orders with one omission or contradiction each. All of them are invented."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any

from bladegeom import (
    AngledBevel,
    Change,
    Delivery,
    Feature,
    Finish,
    Grind,
    HandCheck,
    Hole,
    Knife,
    Lead,
    Liner,
    MadeOf,
    MarkZone,
    Material,
    Measured,
    Order,
    OwnMaterial,
    Payment,
    Pin,
    Plunge,
    Reference,
    Requirement,
    Scales,
    Sheath,
    Stock,
    TextureZone,
    add_fasteners,
    join_halves,
)
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.stick_tang import StickTang
from bladegeom.profiles.swelled import Swelled

DAY = date(2026, 3, 2)
LOOK = HandCheck(look="held and looked at in daylight", signed="customer")


@cache
def knife() -> Knife:
    """A drop point with walnut scales, liners, pins, a lanyard hole, a texture and a mark; stainless."""
    outline = join_halves(DropPoint(blade_length=110.0), Swelled())
    bare = Knife(
        name="Order knife",
        outline=outline,
        stock=Stock(steel="1.4116", thickness=3.5),
        grind=Grind(bevel=AngledBevel(angle_deg=5.0, edge_thickness=0.4), plunge=Plunge(x=outline.heel[0])),
        holes=(
            Hole(x=-50.0, y=-12.0, diameter=6.0, purpose="lightening"),
            Hole(x=-105.0, y=-18.0, diameter=8.5, purpose="lanyard"),
        ),
        scales=Scales(slab="Juglans nigra", thickness=8.0, liners=(Liner(sheet="NEMA G-10", thickness=0.8),)),
        hand_breadth=88.0,
        zones=(
            MarkZone(x=5.0, y=-6.0, width=6.0, height=3.0, text="DECK 1"),
            TextureZone(start=30.0, end=70.0, depth=0.3),
        ),
    )
    return add_fasteners(bare, Pin(rod="C26000", diameter=4.7625), count=2)


def changed(**values: Any) -> Knife:
    """The same with some fields changed."""
    return dataclasses.replace(knife(), **values)


def asked(number: int = 1, **values: Any) -> Requirement:
    """A requirement that is met by a look, with some fields changed."""
    told: dict[str, Any] = {"number": number, "text": f"wish {number}", "concerns": "blade", "met": LOOK}
    return Requirement(**told | values)


def order(*requirements: Requirement, **values: Any) -> Order:
    """An order with these requirements, or a single one that is met by a look."""
    told: dict[str, Any] = {"number": "S-1", "customer": "the ship's cook", "date": DAY}
    told["requirements"] = requirements or (asked(),)
    return Order(**told | values)


def met(*ways: Any, **values: Any) -> Order:
    """An order with one requirement that is met in these ways."""
    return order(asked(met=ways, **values))


@dataclass(frozen=True, kw_only=True)
class Pair:
    """A sound order, a faulty one that differs from it in one thing, and what must be found."""

    name: str
    sound: Order
    faulty: Order
    codes: tuple[str, ...]
    sound_knife: Knife | None = None
    faulty_knife: Knife | None = None


def pairs() -> Iterator[Pair]:
    """All of them."""
    yield from _bindings()
    yield from _features()
    yield from _places()
    yield from _changes()
    yield from _use()
    yield from _allergies()
    yield from _person()
    yield from _brought()
    yield from _excluding()
    yield from _away()


def rich() -> Order:
    """A sound order that tells everything there is to tell."""
    day = date(2026, 3, 9)
    return order(
        asked(1, met=(Measured(measure="Blade  length", low=108, high=112), Feature(what="grind", text="flat"))),
        asked(2, concerns="edge", met=Measured(measure="edge thickness", nominal=0.4, tolerance="0.05 mm")),
        asked(3, concerns="steel", met=(MadeOf(part="steel", material="1.4116"), Measured(measure="hardness", low=55))),
        asked(
            4,
            concerns="surface",
            met=(
                Feature(what="texture", place="blade"),
                Finish(operation="etch", finish="dark, no gloss", place="blade"),
            ),
        ),
        asked(5, concerns="handle", met=(MadeOf(part="scales", material="juglans nigra"), Feature(what="liners"))),
        asked(6, concerns="weight", weight="wish", met=Measured(measure="balance", low=-60, high=10)),
        asked(7, concerns="lanyard", met=(Feature(what="lanyard", cord="5/32 in"), LOOK), since=day),
        asked(8, concerns="mark", met=(Feature(what="mark", text="DECK 1", side="right"), LOOK)),
        asked(9, concerns="sheath"),
        asked(10, concerns="care"),
        asked(11, concerns="delivery"),
        asked(12, concerns="price"),
        asked(13, met=Feature(what="one-sided grind", absent=True)),
        needed_by=date(2026, 6, 1),
        quantity=2,
        changes=(
            Change(date=day, text="a cord", answer="accepted", price=0, gate="before cutting", requirement=7),
            Change(date=day, text="a bottle opener in the spine", answer="refused"),
        ),
        use=("rope", "slicing", "batoning"),
        environment=("salt water", "cold", "unattended"),
        cleaning="wiped",
        hand="left",
        hand_breadth="88 mm",
        gloves=True,
        grip="full hand",
        sharpening="a whetstone",
        tang="full",
        length_limit="4-1/2 in",
        length_measure="blade length to handle",
        allergies=("nickel",),
        sheath=Sheath(
            material="leather", side="left", belt=40, slot=42, angle_deg=15, ride="high", retention="a strap", loop=True
        ),
        payment=Payment(budget=500, deposit=100, shipping="maker", tax="maker"),
        delivery=Delivery(ship_to="by post", why="she sails", gift=True, photos=True),
        lead=Lead(queue=30, cutting=7, heat_treat=14, work=10, cure=3, shipping=4),
        references=(Reference(what="the picture", liked=("shape", "colour")),),
        own_materials=(
            OwnMaterial(
                what="a plank",
                part="scales",
                thickness="9 mm",
                enough_for=2,
                irreplaceable=True,
                risk="the cook bears it",
            ),
        ),
        note="By letter.",
    )


def _pair(name: str, sound: Order, faulty: Order, *codes: str, **knives: Knife | None) -> Pair:
    return Pair(name=name, sound=sound, faulty=faulty, codes=codes, **knives)


def _bindings() -> Iterator[Pair]:
    yield _pair("nothing asked", order(), dataclasses.replace(order(), requirements=()), "order-empty")
    yield _pair("must to nothing", order(), order(asked(met=())), "order-unbound")
    yield _pair(
        "wish to nothing",
        order(asked(weight="wish")),
        order(asked(weight="wish", met=())),
        "order-unbound",
    )
    yield _pair("open", order(), order(asked(), asked(2, weight="open", met=())), "order-open")
    yield _pair(
        "open must", order(), order(asked(), asked(2, weight="open", open_must=True, met=())), "order-open-must"
    )
    yield _pair(
        "blade too long",
        met(Measured(measure="blade length", nominal=110, tolerance=1)),
        met(Measured(measure="blade length", nominal=105, tolerance=1)),
        "order-measure",
    )
    yield _pair(
        "too heavy",
        met(Measured(measure="mass", high=250)),
        met(Measured(measure="mass", high=120)),
        "order-measure",
    )
    yield _pair(
        "no such measure",
        met(Measured(measure="blade height", high=40)),
        met(Measured(measure="blade hight", high=40)),
        "order-unknown",
    )
    yield _pair(
        "measure of a part that is not there",
        met(Measured(measure="rough edge", low=0.6)),
        met(Measured(measure="rough edge", low=0.6)),
        "order-measure",
        sound_knife=changed(grind=dataclasses.replace(knife().grind, rough_edge=0.8)),
    )
    yield _pair(
        "no such operation",
        met(Finish(operation="etch", finish="dark", place="blade and tang")),
        met(Finish(operation="etching", finish="dark", place="blade")),
        "order-unknown",
    )
    yield _pair(
        "no such part",
        met(MadeOf(part="scales", material="Juglans nigra")),
        met(MadeOf(part="slabs", material="Juglans nigra")),
        "order-unknown",
    )
    yield _pair(
        "another material",
        met(MadeOf(part="pin", material="C26000")),
        met(MadeOf(part="pin", material="304")),
        "order-material",
    )
    yield _pair(
        "no such material",
        met(MadeOf(part="steel", material="EN 1.4116")),
        met(MadeOf(part="steel", material="1.4117x")),
        "order-unknown",
    )


def _features() -> Iterator[Pair]:
    mark = Feature(what="mark", text="DECK 1", side="right")
    yield _pair("a letter", met(mark), met(dataclasses.replace(mark, text="DEKC 1")), "order-feature")
    yield _pair("the wrong face", met(mark), met(dataclasses.replace(mark, side="left")), "order-feature")
    for said, other in (("DECK 1", "DEKC 1"), ("a plain DECK 1, please", "a plain Deck 1, please"), ("DECK 1", "DECK")):
        yield _pair(
            f"written {other}",
            order(asked(text=f"engrave {said}", met=mark)),
            order(asked(text=f"engrave {other}", met=mark)),
            "order-spelling",
        )
    for sound, other in (
        ("Deck 1 on the right side, in capitals", "Deck 1, not in capitals"),
        ("Deck 1 in block letters", "Deck 1 in lower case"),
        ("engrave \N{LEFT DOUBLE QUOTATION MARK}DECK 1\N{RIGHT DOUBLE QUOTATION MARK}", 'engrave "DECK 12"'),
        ("all caps: deck 1", "DECK 1A"),
    ):
        yield _pair(
            f"written {other}", order(asked(text=sound, met=mark)), order(asked(text=other, met=mark)), "order-spelling"
        )
    small = Feature(what="mark", text="Deck 1", side="right")
    lower = changed(zones=(MarkZone(x=5.0, y=-6.0, width=6.0, height=3.0, text="Deck 1"),))
    yield _pair(
        "capitals asked for",
        order(asked(text="Deck 1, as I write it", met=small)),
        order(asked(text="Deck 1 in capitals", met=small)),
        "order-spelling",
        sound_knife=lower,
        faulty_knife=lower,
    )
    texture = Feature(what="texture", side="both", place="blade")
    yield _pair("no texture", met(texture), met(texture), "order-feature", faulty_knife=changed(zones=()))
    yield _pair(
        "a cord too thick",
        met(Feature(what="lanyard", cord=4)),
        met(Feature(what="lanyard", cord=5)),
        "order-feature",
    )
    liners = Feature(what="liners")
    plain = Scales(slab="Juglans nigra", thickness=8.0)
    yield _pair("no liners", met(liners), met(liners), "order-feature", faulty_knife=changed(scales=plain))
    holes = Feature(what="lightening", absent=True)
    yield _pair("holes all the same", met(holes), met(holes), "order-feature", sound_knife=changed(holes=()))
    yield _pair(
        "the kind of bevel",
        met(Feature(what="grind", text="flat")),
        met(Feature(what="grind", text="convex")),
        "order-feature",
    )


def _places() -> Iterator[Pair]:
    texture, etch = Feature(what="texture", place="blade"), Finish(operation="etch", finish="dark", place="blade")
    mark = Feature(what="mark", text="DECK 1", side="right")
    for what, way in (("texture", texture), ("etch", etch)):
        yield _pair(f"{what}, where", met(way), met(dataclasses.replace(way, place=None)), "order-place")
    unsaid = dataclasses.replace(mark, text=None)
    yield _pair("mark, what", met(mark), met(unsaid), "order-text")
    yield _pair(
        "mark, what, in other letters",
        order(asked(text="DECK 1 on the right", met=unsaid)),
        order(asked(text="Deck 1 on the right", met=unsaid)),
        "order-text",
    )
    yield _pair("mark, where", met(mark), met(dataclasses.replace(mark, side=None)), "order-place")
    yield _pair(
        "texture on the handle", met(texture), met(dataclasses.replace(texture, place="handle")), "order-feature"
    )
    yield _pair(
        "texture on both",
        met(texture),
        met(dataclasses.replace(texture, place="blade and handle")),
        "order-feature",
    )
    carved = Finish(operation="surface", finish="carved", place="handle")
    for words, parts in (
        ("a carved surface on the blade and on the handle", (texture, carved)),
        ("carved on the blade, not on the handle", (texture,)),
        ("a carved handle", (carved,)),
    ):
        other = (texture,) if len(parts) > 1 or carved in parts else (texture, carved)
        yield _pair(words, order(asked(text=words, met=parts)), order(asked(text=words, met=other)), "order-place")
    yield _pair(
        "the words name the blade alone",
        order(asked(text="a carved blade", met=Feature(what="texture"))),
        order(asked(text="a carved handle", met=Feature(what="texture"))),
        "order-place",
    )


def _changes() -> Iterator[Pair]:
    day, early = date(2026, 3, 9), date(2026, 2, 1)
    said = Change(
        date=day, text="and an eased spine", answer="accepted", price=20, gate="before cutting", requirement=2
    )
    since = asked(2, since=day)
    sound = order(asked(), since, changes=(said,))

    def other(*requirements: Requirement, **values: Any) -> Order:
        return order(asked(), *requirements, changes=(dataclasses.replace(said, **values),))

    yield _pair("not answered", sound, order(changes=(Change(date=day, text="and a hole"),)), "order-change-open")
    yield _pair("accepted, and nowhere", sound, other(requirement=None), "order-change-lost")
    yield _pair("accepted into what is not there", sound, other(), "order-change-lost")
    yield _pair("accepted, and not reworded", sound, other(asked(2)), "order-change-lost")
    yield _pair("no price", sound, other(since, price=None), "order-change-price")
    yield _pair("before the order", sound, other(asked(2, since=early), date=early), "order-change-date")
    yield _pair("refused, and done", sound, other(since, answer="refused"), "order-change-refused")
    drilled = asked(2, met=Feature(what="lanyard"), since=day)

    def hole(gate: Any) -> Order:
        return order(asked(), drilled, changes=(dataclasses.replace(said, gate=gate),))

    yield _pair("a hole in hard steel", hole("before hardening"), hole("after hardening"), "order-change-late")
    yield _pair("from no change", sound, order(asked(), since), "order-change-missing")


def _use() -> Iterator[Pair]:
    carbon = changed(stock=Stock(steel="52100", thickness=3.5))
    at_sea = order(environment=("salt water",))
    yield _pair("rust at sea", at_sea, at_sea, "order-rust", faulty_knife=carbon)
    own = Material(
        name="own bar", kind="steel", density_g_cm3=7.8, low=7.7, high=7.9, source="invented", confidence="low"
    )
    unknown = changed(stock=Stock(steel=own, thickness=3.5))
    yield _pair("a steel that nobody knows", at_sea, at_sea, "order-rust-unknown", faulty_knife=unknown)
    sharp = Grind(bevel=AngledBevel(angle_deg=5.0, edge_thickness=0.2), plunge=knife().grind.plunge)
    split = order(use=("batoning",))
    yield _pair("thin and driven", split, split, "order-abuse", faulty_knife=changed(grind=sharp))
    oil = changed(stock=Stock(steel="O1", thickness=3.5))
    hard = Measured(measure="hardness", low=62, high=64)
    soft = Measured(measure="hardness", low=56, high=58)
    yield _pair(
        "hard and levered",
        order(asked(met=soft), use=("prying",)),
        order(asked(met=hard), use=("prying",)),
        "order-abuse",
        sound_knife=oil,
        faulty_knife=oil,
    )
    full = changed(scales=None, fasteners=())
    bare = dataclasses.replace(full, outline=join_halves(DropPoint(blade_length=110.0), StickTang()), holes=())
    drawn = dataclasses.replace(full, outline=dataclasses.replace(full.outline, profiles=()))
    yield _pair(
        "hidden tang on a full one",
        order(tang="hidden"),
        order(tang="hidden"),
        "order-tang",
        sound_knife=bare,
        faulty_knife=full,
    )
    yield _pair(
        "a drawn tang that does not say that it hides",
        order(tang="full"),
        order(tang="hidden"),
        "order-tang-unknown",
        sound_knife=drawn,
        faulty_knife=drawn,
    )
    yield _pair(
        "hidden tang and blows",
        order(tang="hidden", use=("slicing",)),
        order(tang="hidden", use=("heavy chopping",)),
        "order-tang-blows",
        sound_knife=bare,
        faulty_knife=bare,
    )
    yield _pair(
        "hidden tang and slabs",
        order(tang="hidden"),
        order(tang="hidden"),
        "order-tang",
        sound_knife=bare,
    )
    yield _pair("over the limit", order(length_limit="4-3/8 in"), order(length_limit="4 in"), "order-length")
    yield _pair(
        "limit by no convention",
        order(length_limit="4-3/8 in"),
        order(length_limit="4-3/8 in", length_measure="length of blade"),
        "order-unknown",
    )
    yield _pair(
        "limit by a mass",
        order(length_limit="4-3/8 in"),
        order(length_limit="4-3/8 in", length_measure="mass"),
        "order-unknown",
    )
    yield _pair("walnut in the dishwasher", order(cleaning="by hand"), order(cleaning="dishwasher"), "order-washing")
    care = asked(concerns="care")
    guard = asked(2, met=HandCheck(look="guard of nickel silver fitted", signed="maker"))
    yield _pair(
        "a guard that is only looked at, and an allergy to it",
        order(care, guard, allergies=("tin",)),
        order(care, guard, allergies=("nickel",)),
        "order-allergy-words",
    )
    yield _pair(
        "no sheath, and a sheath",
        order(
            asked(text="a sheath for my belt", concerns="sheath"),
            sheath=Sheath(material="leather", side="left", belt=40, slot=43),
        ),
        order(
            asked(text="no sheath, I have one", concerns="sheath"),
            sheath=Sheath(material="leather", side="left", belt=40, slot=43),
        ),
        "order-sheath-unwanted",
    )
    yield _pair(
        "allergic to the pins",
        order(care, allergies=("nickel",)),
        order(care, allergies=("brass",)),
        "order-allergy",
    )
    light = asked(met=Measured(measure="mass", high=120), weight="wish")
    no_holes = asked(2, met=Feature(what="lightening", absent=True))
    easy = asked(met=Measured(measure="mass", high=250), weight="wish")
    yield _pair(
        "lighter, and no holes",
        order(easy, no_holes),
        order(light, no_holes),
        "order-lighter",
        "order-measure",
        sound_knife=changed(holes=()),
        faulty_knife=changed(holes=()),
    )


def _allergies() -> Iterator[Pair]:
    care = asked(concerns="care")

    def of(*names: str, **values: Any) -> Order:
        return order(care, allergies=names, **values)

    def scales(slab: str | Material) -> Knife:
        return changed(scales=Scales(slab=slab, thickness=8.0))

    def own(name: str, kind: str, density: float) -> Material:
        return Material(
            name=name, kind=kind, density_g_cm3=density, low=density, high=density, source="invented", confidence="low"
        )

    def pinned(rod: str | Material) -> Knife:
        return add_fasteners(changed(fasteners=()), Pin(rod=rod, diameter=4.7625), count=2)

    for name, allergy, faulty in (
        ("nickel in stainless", "nickel", pinned("304")),
        ("nickel in nickel silver", "nickel", pinned(own("C75200", "metal", 8.73))),
        ("nickel by its EN number", "Nickel", pinned(own("EN 1.4404", "steel", 7.95))),
        ("nickel in the maker's words", "nickel", pinned(own("nickel silver rod", "metal", 8.7))),
        ("copper in brass", "copper", pinned("C26000")),
        ("horn of any animal", "buffalo horn", scales(own("ram", "horn-bone", 1.3))),
        ("antler for horn", "horn", scales("antler")),
        ("bone for any animal material", "animal products", scales("bone")),
        ("a tropical wood", "tropical woods", scales("Handroanthus sp.")),
        ("cocobolo for rosewood", "rosewood", scales("Dalbergia retusa")),
        ("the maker's own rosewood", "cocobolo", scales(own("Bolivian rosewood", "wood", 0.9))),
        ("phenolic", "formaldehyde", scales("NEMA CE")),
        ("glass-epoxy", "epoxy", scales("G-10")),
    ):
        bare = changed(fasteners=(), scales=None)
        sound = bare if allergy == "copper" else None
        if allergy == "epoxy":
            sound = changed(scales=Scales(slab="Juglans nigra", thickness=8.0))
        yield _pair(name, of(allergy), of(allergy), "order-allergy", sound_knife=sound, faulty_knife=faulty)
    sheath = Sheath(material="leather, vegetable tanned", side="left", belt=40, slot=43)
    chrome = dataclasses.replace(sheath, material="leather, chrome tanned")
    plain = changed(stock=Stock(steel="1084", thickness=3.5))
    carried = asked(2, concerns="sheath")
    yield _pair(
        "chrome in the leather",
        order(care, carried, allergies=("chromium",), sheath=sheath),
        order(care, carried, allergies=("chromium",), sheath=chrome),
        "order-allergy",
        sound_knife=plain,
        faulty_knife=plain,
    )
    yield _pair("an allergy that nobody knows", of("nickel"), of("nickle"), "order-allergy-unknown")


def _brought() -> Iterator[Pair]:
    plank = OwnMaterial(what="a plank", part="scales", thickness=9)
    unmeasured = dataclasses.replace(plank, thickness=None)
    several = dataclasses.replace(plank, enough_for=4)
    few = dataclasses.replace(plank, enough_for=1)
    yield _pair(
        "a piece that nobody measured",
        order(own_materials=(plank,)),
        order(own_materials=(unmeasured,)),
        "order-own-open",
    )
    four = order(quantity=4, own_materials=(several,))
    yield _pair("one piece for four knives", four, order(quantity=4, own_materials=(few,)), "order-own-enough")
    yield _pair("enough for all?", four, order(quantity=4, own_materials=(plank,)), "order-own-open")
    other = dataclasses.replace(plank, part="bolsters")
    yield _pair("for no part", order(own_materials=(plank,)), order(own_materials=(other,)), "order-own-part")
    bar = OwnMaterial(what="an old file", part="steel", thickness="4 mm")
    thin = dataclasses.replace(bar, thickness="1/8 in")
    yield _pair("a bar too thin", order(own_materials=(bar,)), order(own_materials=(thin,)), "order-slab")
    sheet = OwnMaterial(what="a sheet", part="liners", thickness=0.8)
    foil = dataclasses.replace(sheet, thickness=0.5)
    yield _pair("a sheet too thin", order(own_materials=(sheet,)), order(own_materials=(foil,)), "order-slab")
    carried = asked(concerns="sheath")
    sheath = Sheath(material="leather", side="left", belt=40, slot=43)
    told = order(carried, sheath=sheath)
    for name, less in (
        ("side", dataclasses.replace(sheath, side=None)),
        ("belt", dataclasses.replace(sheath, belt=None)),
        ("slot", dataclasses.replace(sheath, slot=None)),
    ):
        yield _pair(f"a sheath without {name}", told, order(carried, sheath=less), "order-sheath-open")
    yield _pair("a sheath in words alone", order(carried, sheath=sheath), order(carried), "order-sheath-open")
    refused = asked(concerns="sheath", text="no sheath, it lives in a drawer")
    wanted = asked(concerns="sheath", text="a sheath, it lives on my hip")
    yield _pair("no sheath at all", order(refused), order(wanted), "order-sheath-open")


def _away() -> Iterator[Pair]:
    """What is wanted in one place, and wanted away in another or in the same one."""

    def both(way: Any, other: Any) -> Order:
        return order(asked(met=way), asked(2, met=other))

    right = changed(zones=(knife().zones[0], TextureZone(start=30.0, end=70.0, depth=0.3, side="right")))
    for some in (Feature(what="mark", text="DECK 1", side="right"), Feature(what="texture", place="blade")):
        what = some.what
        here = dataclasses.replace(some, side="right")
        there, anywhere = (Feature(what=what, side=side, absent=True) for side in ("left", None))
        yield _pair(
            f"no {what} on the left",
            both(here, there),
            both(here, anywhere),
            "order-features",
            "order-feature",
            sound_knife=right,
            faulty_knife=right,
        )
        yield _pair(
            f"a {what}, and none on the left",
            both(some, there),
            both(some, dataclasses.replace(there, side="both")),
            "order-features",
            "order-feature",
            sound_knife=right,
            faulty_knife=right,
        )
    mark = Feature(what="mark", text="DECK 1", side="right")
    yield _pair(
        "another text away",
        both(mark, Feature(what="mark", text="DECK 2", absent=True)),
        both(mark, Feature(what="mark", text="DECK 1", absent=True)),
        "order-features",
        "order-feature",
    )
    flat = Feature(what="grind", text="flat")
    yield _pair(
        "another grind away",
        both(flat, Feature(what="grind", text="hollow", absent=True)),
        both(flat, Feature(what="grind", text="flat", absent=True)),
        "order-features",
        "order-feature",
    )
    yield _pair(
        "two grinds away",
        both(*(Feature(what="grind", text=text, absent=True) for text in ("hollow", "convex"))),
        both(Feature(what="grind", text="hollow", absent=True), Feature(what="grind", text="flat", absent=True)),
        "order-feature",
    )
    satin = Finish(operation="surface", finish="bevels satin")
    yield _pair(
        "two sheens in two places",
        both(satin, Finish(operation="surface", finish="flats mirror polished")),
        both(satin, Finish(operation="surface", finish="all of it mirror polished")),
        "order-finishes",
    )


def _person() -> Iterator[Pair]:
    chisel = changed(grind=dataclasses.replace(knife().grind, only="left"))
    other = changed(grind=dataclasses.replace(knife().grind, only="right"))
    left = order(hand="left")
    yield _pair("ground for the other hand", left, left, "order-hand-grind", sound_knife=chisel, faulty_knife=other)
    yield _pair("another hand's size", order(hand_breadth=88), order(hand_breadth="3 in"), "order-hand-size")
    yield _pair(
        "no hand's size",
        order(hand_breadth=88),
        order(hand_breadth=88),
        "order-hand-size",
        faulty_knife=changed(hand_breadth=None),
    )
    carried = asked(concerns="sheath")
    sheath = Sheath(material="leather", side="left", belt=40, slot=43)
    sound = order(carried, hand="left", sheath=sheath)
    right = dataclasses.replace(sheath, side="right")
    narrow = dataclasses.replace(sheath, slot="40 mm")
    yield _pair("sheath on the other side", sound, order(carried, hand="left", sheath=right), "order-sheath")
    yield _pair("slot as wide as the belt", sound, order(carried, hand="left", sheath=narrow), "order-belt")
    yield _pair("sheath in no requirement", sound, order(hand="left", sheath=sheath), "order-fact")
    gift = Delivery(ship_to="by post", gift=True)
    yield _pair(
        "gift in no requirement", order(asked(concerns="delivery"), delivery=gift), order(delivery=gift), "order-fact"
    )
    plank = OwnMaterial(what="a plank", part="scales", thickness=9)
    thin = dataclasses.replace(plank, thickness=7.9)
    only = dataclasses.replace(plank, irreplaceable=True)
    yield _pair("slab too thin", order(own_materials=(plank,)), order(own_materials=(thin,)), "order-slab")
    yield _pair("the only plank", order(own_materials=(plank,)), order(own_materials=(only,)), "order-own-risk")
    lead = Lead(queue=30, heat_treat=14, work=10)
    yield _pair(
        "too soon",
        order(lead=lead, needed_by=date(2026, 4, 25)),
        order(lead=lead, needed_by=date(2026, 4, 24)),
        "order-date",
    )
    yield _pair(
        "nobody knows how long",
        order(lead=lead, needed_by=date(2026, 4, 25)),
        order(needed_by=date(2026, 4, 25)),
        "order-date-unknown",
    )
    yield _pair(
        "deposit over the budget",
        order(payment=Payment(budget=300, deposit=100)),
        order(payment=Payment(budget=300, deposit=400)),
        "order-deposit",
    )
    yield _pair(
        "like this one",
        order(references=(Reference(what="the picture", liked=("shape",)),)),
        order(references=(Reference(what="the picture"),)),
        "order-liked",
    )


def _excluding() -> Iterator[Pair]:
    def both(first: Any, *others: Any) -> Order:
        return order(asked(met=first), *(asked(2 + i, met=way) for i, way in enumerate(others)))

    long, short = Measured(measure="blade length", low=108), Measured(measure="blade length", high=112)
    yield _pair(
        "ranges that do not meet",
        both(long, short),
        both(long, Measured(measure="blade length", high=107)),
        "order-ranges",
        "order-measure",
    )
    steel = MadeOf(part="steel", material="1.4116")
    yield _pair(
        "two steels",
        both(steel, MadeOf(part="steel", material="EN 1.4116")),
        both(steel, MadeOf(part="steel", material="440C")),
        "order-materials",
        "order-material",
    )
    mark = Feature(what="mark", text="DECK 1", side="right")
    yield _pair(
        "two texts",
        both(mark, dataclasses.replace(mark, side="right")),
        both(mark, dataclasses.replace(mark, text="DECK 2")),
        "order-texts",
        "order-feature",
    )
    hole = Feature(what="lanyard")
    yield _pair(
        "with and without",
        both(hole, Feature(what="lanyard", cord=4)),
        both(hole, Feature(what="lanyard", absent=True)),
        "order-features",
        "order-feature",
    )
    satin = Finish(operation="surface", finish="satin, lengthwise")
    yield _pair(
        "two sheens",
        both(satin, Finish(operation="surface", finish="eased corners")),
        both(satin, Finish(operation="surface", finish="mirror")),
        "order-finishes",
    )

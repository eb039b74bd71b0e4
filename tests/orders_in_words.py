"""Orders whose words name numbers, sides and dates that their fields measure, or do not. All of them are invented."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from orders import LOOK, Pair, asked, order

from bladegeom import (
    Change,
    Delivery,
    Feature,
    Finish,
    HandCheck,
    Lead,
    MadeOf,
    Measured,
    Order,
    OwnMaterial,
    Payment,
    Sheath,
)

LONG = Measured(measure="blade length", nominal=110, tolerance=1)


def look(words: str) -> HandCheck:
    return HandCheck(look=words, signed="maker")


def one(text: str, *ways: Any, concerns: str = "blade", **values: Any) -> Order:
    return order(asked(text=text, met=ways or LOOK, concerns=concerns), **values)


def say(
    name: str,
    words: str,
    ways: tuple[Any, ...],
    other_words: str | None = None,
    other_ways: tuple[Any, ...] | None = None,
    *,
    concerns: str = "blade",
    facts: dict[str, Any] | None = None,
    other: dict[str, Any] | None = None,
) -> Pair:
    """A sound order, and one whose words, ways or facts are other ones."""
    told = facts or {}
    sound = one(words, *ways, concerns=concerns, **told)
    faulty_ways = ways if other_ways is None else other_ways
    faulty = one(other_words or words, *faulty_ways, concerns=concerns, **(told if other is None else other))
    return Pair(name=name, sound=sound, faulty=faulty, codes=("order-words",))


def pairs() -> Iterator[Pair]:
    """Each sound order says with its fields what its words say; the faulty one differs in one thing."""
    yield from _conventions()
    yield from _lengths()
    yield from _fittings()
    yield from _other_numbers()
    yield from _prices()
    yield from _dates()
    yield from _sides()


def _conventions() -> Iterator[Pair]:
    yield say("cutting edge", "110 mm of blade", (LONG,), "110 mm of cutting edge")
    edge = Measured(measure="edge length", low=100, high=112)
    yield say("edge length", "110 mm of cutting edge", (edge,), None, (LONG,))
    yield say("overall", "blade of 110 mm, overall shape as my old one", (LONG,), "110 mm overall")
    yield say("how many", "I need two knives, both alike", (LOOK,), "I need three knives", facts={"quantity": 2})
    yield say("how many in digits", "I want 2 knives", (LOOK,), "I want 3 knives", facts={"quantity": 2})


def _lengths() -> Iterator[Pair]:
    yield say("a length by no way", "a blade of 110 mm", (LONG,), other_ways=())
    yield say("8 in", "4-3/8 in blade", (LONG,), "8 in blade")
    yield say("with its mark", 'a 4-3/8" blade', (LONG,), 'a 7-1/2" blade')
    yield say("a half from the phone", "4⅜ inches long", (LONG,), "4½ inches long")
    yield say("cm", "11 cm to the tip", (LONG,), "15 cm to the tip")
    yield say("in words", "eleven cm will do", (LONG,), "eight and a half inches")
    yield say("in digits and words", "11 cm will do", (LONG,), "12 and a half cm")
    window = (Measured(measure="blade length", low="4 in", high="5 in"),)
    yield say("a range", "4 to 5 inches", window, "4 to 4-3/8 in")
    yield say("between", "between 4 and 5 in", window, "between 5 and 6 in")
    most = (Measured(measure="blade length", high="4-1/2 in"),)
    yield say("no longer than", "no longer than 4-1/2 in.", most, "no longer than 4 in.")
    edge = (Measured(measure="edge length", low="4 in"),)
    yield say("at least", "at least 4 in of edge", edge, "at least 5 in of edge")
    thin = (Measured(measure="edge thickness", high="16 thou"),)
    yield say("thou", "16 thou behind the edge", thin, "10 thou behind the edge")
    bar = (Measured(measure="thickness", nominal=3.5, tolerance=0.1),)
    yield say("a bar", "from 3.5 mm stock", bar, "from 3/16 stock")
    both = (LONG, Measured(measure="blade height", low=20, high=40))
    yield say("two of them", '4-3/8" blade, 28 mm high', both, other_ways=(LONG,))


def _fittings() -> Iterator[Pair]:
    cord = (Feature(what="lanyard", cord=4),)
    yield say("a cord", "for my 4 mm cord", cord, "for my 3 mm cord", concerns="lanyard")
    pins = MadeOf(part="pin", material="C26000")
    yield say("pins", "3/16 in brass pins", (pins, look("pins 3/16 in")), other_ways=(pins,))
    sheath = {"sheath": Sheath(material="leather", side="left", belt=40, slot=43)}
    passes = (look("it passes"),)
    yield say("a belt", "for my 40 mm belt", passes, "for my 1-1/4 in belt", concerns="sheath", facts=sheath)
    day = date(2026, 3, 9)
    longer, other = (
        Change(date=day, text=text, answer="accepted", price=0, gate="before cutting", requirement=1)
        for text in ("a 4-3/8 in blade", "rather a 5 in blade")
    )
    held = asked(met=LONG, since=day)
    yield Pair(
        name="a change",
        sound=order(held, changes=(longer,)),
        faulty=order(held, changes=(other,)),
        codes=("order-words",),
    )


def _other_numbers() -> Iterator[Pair]:
    hard = (Measured(measure="hardness", low=55, high=56),)
    yield say("hardness", "55-56 HRC", hard, "58-60 HRC")
    yield say("Rockwell", "Rockwell 56", hard, "Rockwell 59")
    yield say("hardened to", "hardened to 55", hard, other_ways=(MadeOf(part="steel", material="1.4116"),))
    light = (Measured(measure="mass", high=250),)
    yield say("grams", "under 250 grams", light, "under 200 grams")
    yield say("ounces", "8 oz or less", (Measured(measure="mass", high=226),), "6 oz or less")
    yield say("no mass", "about 6 oz", (Measured(measure="mass", nominal=165, tolerance=10),), other_ways=(LONG,))
    keen = (Measured(measure="sharpening angle", low=16, high=20),)
    yield say("degrees", "18 degrees per side", keen, "25 degrees per side")
    yield say("inclusive", "36° inclusive, please", keen, "46° inclusive, please")
    step = (Finish(operation="surface", finish="15 degrees a side"),)
    yield say("in a step", "15 degrees a side", step, "12 degrees a side")


def _prices() -> Iterator[Pair]:
    paid = {"payment": Payment(budget=400)}
    yield say("dollars", "under $400", (), "under $300", concerns="price", facts=paid)
    yield say("euros", "400 euros at the most", (), concerns="price", facts=paid, other={})
    yield say("pounds", "no more than 400 pounds", (), "no more than 350 pounds", concerns="price", facts=paid)


def _dates() -> Iterator[Pair]:
    def by(name: str, words: str, day: date, other: date | None, ways: tuple[Any, ...] = ()) -> Pair:
        facts, others = ({"needed_by": each_date, "lead": Lead(work=10)} for each_date in (day, other))
        return say(name, words, ways, concerns="delivery", facts=facts, other=others, other_ways=())

    june, advent, late = date(2026, 6, 15), date(2026, 12, 18), date(2027, 1, 15)
    yield by("before Christmas", "before Christmas", advent, late)
    yield by("no date", "by June 15th", june, None)
    yield by("the day itself", "by 15 June 2026, please", june, advent)
    yield by("a birthday", "for my father's birthday", june, None)
    yield by("six weeks", "in six weeks at the latest", date(2026, 4, 13), june)
    yield by("looked after", "by 15 June, aboard", june, None, (look("handed over by 15 June"),))


def _sides() -> Iterator[Pair]:
    right = Feature(what="mark", text="DECK 1", side="right")
    yield say("on the left", "DECK 1 on the right side", (right,), "DECK 1 on the left side")
    anywhere = (Feature(what="mark", text="DECK 1"),)
    yield say("on any side", "DECK 1 on the right", (right,), other_ways=anywhere)
    none_left = Feature(what="mark", side="left", absent=True)
    text = "DECK 1 on the right, nothing on the left"
    yield say("nothing on the left", text, (right, none_left), other_ways=(right,))
    yield say("left-handed", "I am left-handed", (), facts={"hand": "left"}, other={"hand": "right"})
    yield say("nobody asked", "it is for a lefty", (), facts={"hand": "left"}, other={})
    sheath: dict[str, Any] = {"sheath": Sheath(material="leather", side="left", belt=40, slot=43)}
    carried = asked(2, text="worn on the left", concerns="sheath", met=look("worn"))
    here, there = (asked(text=f"DECK 1 on the {side}", concerns="mark", met=right) for side in ("right", "left"))
    yield Pair(
        name="the sheath hangs there, not the mark",
        sound=order(here, carried, **sheath),
        faulty=order(there, carried, **sheath),
        codes=("order-words",),
    )
    yield say("the hip", "worn on my left hip", (), "worn on my right hip", concerns="sheath", facts=sheath)


SOUND_WORDS = (
    "3 pins, please",
    "2 knives alike, one for each of us",
    "scales in walnut, all 4 in one grain",
    "two pins, 2 in brass and 1 in copper",
    "the right size for my hand, just right",
    "no burr left anywhere",
    "it may rust a little, I march in the rain",
    "grit 400 will do, 10 years of use",
    "a full tang, 1.4116 if you have it",
    "like the M6 bolt, or G-10 in black",
    "cut from the 8 oz leather that I like",
    "not heated over 200 degrees C",
    "like the one in the picture of 3 June",
    "as we agreed on 3 June",
    "a little longer than the last one, 10 mm longer",
    "not 8 in as it was, and not the 6 in one: as we said",
    'engrave "DECK 1" below "8 in" as on the sketch',
    "turn the sheath by 180 degrees",
    "the steel that you used on 2 of 3 knives",
    "a 50/50 grind",
    "half as heavy as the old one",
    "wet sanded, 1000 then 2000",
    "it lies left of the stove",
    "the handle, at the right of the drawer, is too long",
    "sharpened once in 3 months",
    "for the cook of the second watch",
    "my left thumb is stiff",
    "number 7 of 12, nothing more",
)
"""Words of requirements that are met by a look: they name nothing that could be measured."""


def sound_words() -> Iterator[Order]:
    """An order for each of them, and some that say numbers which a field has."""
    yield plain_english()
    for text in SOUND_WORDS:
        yield one(text)
    yield one("18 degrees", Measured(measure="sharpening angle", nominal=18, tolerance=1))
    fetched: dict[str, Any] = {"needed_by": date(2026, 5, 5), "lead": Lead(work=10)}
    yield one("fetched on 5 May", concerns="delivery", **fetched)
    plank = OwnMaterial(what="a plank", part="scales", thickness="9 mm")
    yield one("scales of my plank, it is 9 mm thick", own_materials=(plank,))


def plain_english() -> Order:
    """A whole order as people write one, sound in every word."""
    mark = (Feature(what="mark", text="DECK 1", side="right"), Feature(what="mark", side="left", absent=True))
    return order(
        asked(
            1, text='4-3/8" blade, under 10 in overall', met=(LONG, Measured(measure="overall length", high="10 in"))
        ),
        asked(2, text="1.1 inches high, give or take", met=Measured(measure="blade height", low=26, high=29)),
        asked(
            3,
            text="55 to 57 HRC, 36 degrees inclusive",
            concerns="steel",
            met=(Measured(measure="hardness", low=55, high=57), Measured(measure="sharpening angle", low=17, high=19)),
        ),
        asked(
            4,
            text="6 oz or lighter, 2 pins, scales in walnut",
            concerns="weight",
            met=Measured(measure="mass", high=170),
        ),
        asked(5, text="'Deck 1' on the right side in capitals, nothing on the left", concerns="mark", met=mark),
        asked(
            6, text="a hole for 5/32 in cord, doubled", concerns="lanyard", met=Feature(what="lanyard", cord="5/32 in")
        ),
        asked(7, text="I'm right-handed; for my 1-1/2 in belt, worn on the right hip", concerns="sheath"),
        asked(8, text="before Christmas, as a gift", concerns="delivery"),
        asked(9, text="$400 at most, 100 down", concerns="price"),
        asked(10, text="no antler and no horn", concerns="care"),
        hand="right",
        allergies=("deer antler", "horn"),
        sheath=Sheath(material="leather", side="right", belt="1-1/2 in", slot="1-5/8 in"),
        payment=Payment(budget=400, deposit=100),
        delivery=Delivery(ship_to="by post", gift=True),
        needed_by=date(2026, 12, 18),
        lead=Lead(queue=60, work=20),
    )

"""Golden texts: how messages read. This is the one place, with ``messages.txt``, that pins their words.

Every frame of a refused value stands here once, and an example of the commonest findings. Where the words are meant to
change, ``python tests/test_messages.py`` prints the file anew; read every line of it before it replaces the old one.
"""

from __future__ import annotations

import contextlib
import dataclasses
import math
import tempfile
from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import fastened
import orders
import pytest
from agreements import SEEN, SIGNED, UNSEEN, agreed_design
from specimens import bar_outline, drop_point, ground, pins

from bladegeom import (
    AddStep,
    AgreedPrice,
    AgreedTerm,
    BalanceBand,
    BladegeomError,
    Compared,
    Cutting,
    Design,
    Fastener,
    FlatBevel,
    FullFlat,
    Glue,
    Grind,
    Hole,
    HoleRules,
    Knife,
    Landmarks,
    MarkZone,
    Measured,
    MoveStep,
    Operation,
    Plunge,
    Printing,
    Process,
    Requirement,
    Rounding,
    Scales,
    Settings,
    Shop,
    Signed,
    Slot,
    Stock,
    Tabs,
    TextureZone,
    Work,
    add_lightening,
    check,
    check_order,
    drill_index,
    join_halves,
    length,
    material,
    mesh,
    mockup,
    own_hardware,
    pages,
    picture,
    profiles,
    quote,
    report_section,
    solid,
)
from bladegeom.agreement.check_agreed import check_agreed
from bladegeom.agreement.offer_now import OfferNow
from bladegeom.agreement.page_parts import PageQuestion
from bladegeom.cli.report import sections_among
from bladegeom.commands.export import exported
from bladegeom.commands.sign_agreement import answers_to
from bladegeom.commands.starter import starter_script
from bladegeom.commands.write_defaults import put_into
from bladegeom.curves.build import arc, line
from bladegeom.curves.fillet import fillet
from bladegeom.design.script import load_script, script_of
from bladegeom.importers.dxf_file import open_dxf
from bladegeom.price.price_items import BarPrice, Consumable
from bladegeom.quantities.errors import LetterError, UnknownTreatmentError
from bladegeom.quantities.text_file import TextFile
from bladegeom.quantities.toml_table import TomlTable
from bladegeom.settings.read_setting import key_named, read_setting
from bladegeom.settings.settings_file import values_in

GOLDEN = Path(__file__).with_name("messages.txt")

FACE = FlatBevel(height=17.0, edge_thickness=0.4)
HOLE: dict[str, Any] = {"x": -50.0, "y": -15.0, "diameter": 6.0, "purpose": "lightening"}


def knife(**wrong: Any) -> Knife:
    return dataclasses.replace(drop_point(), **wrong)


ASKED_FOR = (
    starter_script("k", blade="drop_point", handle="straight")
    .replace("DropPoint(blade_length=blade_length)", "DropPoint(blade_length=design.__defaults__[0])")
    .replace("    blade_length: float = 110.0", "    a: float = 110.0")
    .encode()
)
"""A script whose design does not take what it is given, but asks for its own default."""


ASKED = PageQuestion(letter="A", words="Carved surface: where?", choices=("on the blade", "on the handle"), must=True)


def in_stockroom(place: str, text: str) -> object:
    """What a file of a stockroom is refused with, told from the folder that it lies in."""
    shelf, name = Path(place).parts[0], Path(place).stem
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        Path(shelf).mkdir()
        Path(place).write_text(text, encoding="utf-8")
        with Settings(stockroom=Path()).in_force():
            found: dict[str, Callable[[str], object]] = {"steels": material, "hardware": own_hardware}
            return found.get(shelf, profiles.get)(name)


REFUSED: dict[str, Callable[[], object]] = {
    # Numbers
    "number above": lambda: Stock(steel="1084", thickness=0.0),
    "number or more": lambda: Process(kerf=-0.1),
    "number between": lambda: Plunge(x=9.0, lean_deg=75.0),
    "a rule longer than any knife": lambda: HoleRules(rim=1e308),
    "share": lambda: HoleRules(net_width=1.5),
    "number above and at most": lambda: BarPrice(
        steel="1084", thickness=4.0, height=50.0, length=900.0, price=Decimal(2) * 10**9
    ),
    "not a number": lambda: Hole(**{**HOLE, "x": math.nan}),
    "infinite with a limit": lambda: Hole(**{**HOLE, "diameter": math.inf}),
    "text where a length is due": lambda: Stock(steel="1084", thickness="5/32 in"),  # type: ignore[arg-type]
    "yes where a number is due": lambda: Hole(**{**HOLE, "y": True}),
    "count": lambda: Requirement(number=0, text="light", concerns="weight"),
    "count between": lambda: Tabs(count=13),
    "float for an amount": lambda: Consumable(name="belts", price=3.5, per_order=Decimal(1)),  # type: ignore[arg-type]
    # Words
    "hardware of nobody's stockroom": lambda: own_hardware("shop pin"),
    "steel in the stockroom without a source": lambda: in_stockroom("steels/a7.toml", "density_g_cm3 = 7.8\n"),
    "steel in the stockroom that is built in": lambda: in_stockroom("steels/1084.toml", "density_g_cm3 = 7.8\n"),
    "hardware in the stockroom of no kind": lambda: in_stockroom("hardware/peg.toml", 'kind = "nail"\n'),
    "profile in the stockroom without a half": lambda: in_stockroom("profiles/stub.py", "x = 3\n"),
    "word of a few": lambda: Hole(**{**HOLE, "purpose": "beauty"}),
    "word of two": lambda: MarkZone(x=1.0, y=1.0, width=2.0, height=2.0, text="AB", side="both"),  # type: ignore[arg-type]
    "word of a vocabulary": lambda: Requirement(number=1, text="light", concerns="wieght"),
    "word like no other": lambda: profiles.get("zzz"),
    "word with all there are": lambda: exported(Design(drop_point()), only=("zzz",)),
    "page with nothing on it": lambda: pages(Design(drop_point()), "handle"),
    "text that says nothing": lambda: knife(name=" "),
    "number where a text is due": lambda: knife(revision=2),
    "text of another form": lambda: Operation(key="Blue Spine", title="Blue the spine"),
    "text where yes or no is due": lambda: Process(can_mark="no"),  # type: ignore[arg-type]
    # Kinds
    "another kind": lambda: knife(stock="1.4116"),
    "a class and no value of it": lambda: knife(fasteners=Fastener),
    "a value without its comma": lambda: knife(holes=Hole(**HOLE)),
    "another kind in a row": lambda: knife(zones=("texture",)),
    "one or several": lambda: Grind(bevel=17.0, plunge=Plunge(x=9.0)),  # type: ignore[arg-type]
    "a number in a row": lambda: Shop(contact_wheels=(25.4, 0.0)),
    "an empty row": lambda: Shop(drills=()),
    "a station": lambda: Stock(steel="1084", thickness=4.0, taper=((20.0, -1.0),)),
    "stations out of order": lambda: Stock(steel="1084", thickness=4.0, taper=((20.0, 2.5), (10.0, 2.0))),
    "a point": lambda: Slot(start=(0.0,), end=(1.0, 2.0), diameter=6.0, purpose="lightening"),  # type: ignore[arg-type]
    "a place": lambda: Landmarks(handle_front="tip", heel=90.0),  # type: ignore[arg-type]
    "two numbers": lambda: Work(hardness=(58.0, 59.0, 60.0)),  # type: ignore[arg-type]
    "an amount": lambda: AgreedPrice(amount="1e3", currency="EUR"),
    "a way of agreeing": lambda: Signed(customer="the cook", maker="the smith", date=date(2026, 3, 9), how="by mail"),
    "a date": lambda: orders.order(date="2 March"),
    "a length in words": lambda: orders.order(hand_breadth="88 furlong"),
    "no material": lambda: Stock(steel="brass", thickness=4.0),
    "another kind of material": lambda: Stock(steel="Juglans nigra", thickness=4.0),
    "no name": lambda: material(1.4116),  # type: ignore[arg-type]
    "no length": lambda: length("1,5 mm"),
    "letters": lambda: (_ for _ in ()).throw(LetterError("\u4e2d", ["\u4e2d"])),
    "no treatment": lambda: (_ for _ in ()).throw(UnknownTreatmentError("own steel", ["1075", "1084"])),
    "an open question": lambda: answers_to((ASKED,), {}, leave_open=False),
    "no such question": lambda: answers_to((ASKED,), {"B": "on both"}, leave_open=False),
    # Curves, outlines, places and files
    "no radius": lambda: arc((0.0, 0.0), -1.0, 0.0, 90.0),
    "too large a fillet": lambda: fillet(line((0.0, 0.0), (9.0, 0.0)), line((9.0, 0.0), (9.0, 9.0)), 10.0),
    "an outline that crosses itself": lambda: join_halves(
        profiles.get("drop_point")(),
        profiles.get("swelled")(swell=3.0, crown=0.0, relief=17.0, drop=60.0),
    ),
    "a blade in place of a handle": lambda: join_halves(profiles.get("petty")(), profiles.get("chef")()),
    "a profile out of all reason": lambda: profiles.get("petty")(blade_length=-5.0),
    "holes that the process cannot cut": lambda: add_lightening(drop_point(), largest=1.5),
    "a plunge line beside the steel": lambda: drop_point(plunge=500.0).plunge_line,
    "an empty file": lambda: open_dxf(b"", "part.dxf"),
    "another file": lambda: open_dxf(b"%PDF-1.4", "part.dxf"),
    "a file that breaks off": lambda: open_dxf(b"0\nSECTION\n2\nENTITIES\n", "part.dxf"),
    "a device in the place of a script": lambda: load_script(Path("/dev/null")),
    "no script": lambda: load_script(Path("missing.py")),
    "a picture of no width": lambda: picture(drop_point(), width=20),
    "no view": lambda: picture(drop_point(), "spline"),  # type: ignore[arg-type]
    "a hand where none can lie": lambda: picture(drop_point(), "spine", hand=85.0),
    "no section of the report": lambda: report_section(Design(drop_point()), "bevle"),
    "no section on the command line": lambda: sections_among(["bevle", "thickness=4"]),
    # Settings
    "no such setting": lambda: key_named("papre"),
    "a setting of another kind": lambda: read_setting("shop.contact_wheels", 25.4, folder=Path()),
    "a setting that is no length": lambda: read_setting("hand_breadth", "88 furlong", folder=Path()),
    "a setting beyond its limits": lambda: read_setting("hole_rules.net_width", 50, folder=Path()),
    "a printer in other words": lambda: read_setting("printer", "good", folder=Path()),
    "a number for a table of settings": lambda: list(
        values_in(TomlTable(TextFile("settings.toml", "hole_rules = 4\n"), {"hole_rules": 4}), folder=Path())
    ),
    # Solids and mock-ups
    "a solid of no such ending": lambda: solid(Design(drop_point())).save("knife.obj"),
    "thicker than the knife": lambda: mockup(Design(drop_point()), printing=Printing(least=6.0)),
    "too thin to print": lambda: Printing(least=0.1),
    "a bed that is too small": lambda: mockup(Design(drop_point()), printing=Printing(bed="60 x 60")),
    "a bed that is no size": lambda: Printing(bed="220 x"),
    "a bed of no name": lambda: Printing(bed="mediun"),
    "no price list": lambda: quote(Design(drop_point())),
    # New defaults for a script
    "a word that is no choice": lambda: script_of(
        Path("k.py"), b"from typing import Literal\ndef design(side: Literal['left', 'right'] = 'left'): ...\n"
    ).read(["side=up"]),
    "a design that is no function": lambda: put_into(
        script_of(Path("k.py"), b"from functools import partial\ndesign = partial(lambda a: a, a=1.0)\n"),
        {"a": 2.0},
        {},
    ),
    "a design of no def": lambda: put_into(script_of(Path("k.py"), b"design = lambda a=1.0: a\n"), {"a": 2.0}, {}),
    "a default with a comment in it": lambda: put_into(
        script_of(Path("k.py"), b"def design(a=(1.0 +  # measured\n0.5)): ...\n"), {"a": 2.0}, {}
    ),
    "a default that is set again": lambda: put_into(
        script_of(Path("k.py"), b"def design(a=1.0): ...\ndesign.__defaults__ = (3.0,)\n"), {"a": 2.0}, {}
    ),
    "a default that no def holds": lambda: put_into(
        script_of(Path("k.py"), b"def design(a): ...\ndesign.__defaults__ = (1.0,)\n"), {"a": 2.0}, {}
    ),
    "a default on which more hangs": lambda: put_into(script_of(Path("k.py"), ASKED_FOR), {"a": 115.0}, {}),
    # Between fields
    "deeper than wide": lambda: Rounding(width=2.0, depth=3.0),
    "rounding through the scale": lambda: Scales(slab="NEMA L", thickness=4.0, rounding=Rounding(width=6.0, depth=4.0)),
    "edge as thick as the bar": lambda: drop_point(edge=4.0),
    "band upside down": lambda: BalanceBand(low=4.0, high=-4.0),
    "depth of a mark of no way": lambda: MarkZone(x=0.0, y=0.0, width=9.0, height=4.0, text="AB", depth=0.1),
    "bridges without a stencil": lambda: MarkZone(
        x=0.0, y=0.0, width=9.0, height=4.0, text="AB", made="laser", bridge=0.5
    ),
    "zone that ends before it starts": lambda: TextureZone(start=50.0, end=40.0, depth=0.4),
    "glue": lambda: Glue(clamp_hours=30.0),
    "no limit": lambda: Measured(measure="mass"),
    "limits upside down": lambda: Measured(measure="mass", low=180, high=90),
    "two prices": lambda: BarPrice(steel="1084", thickness=4.0, height=50.0, length=900.0),
    "a step without a place": lambda: MoveStep(key="mark"),
    "a step in two places": lambda: AddStep(
        operation=Operation(key="blue", title="Blue"), before="etch", after="surface"
    ),
    # Meshes
    "hardware beside the handle": lambda: mesh(
        fastened.bar(fastened.at(-60.0, pins(6.0), y=20.0), scales=fastened.LINED)
    ),
    "a hole that takes all": lambda: mesh(fastened.bar(holes=(hole(-50.0, -15.0, 900.0),))),
}


def holed(*holes: Hole, **more: Any) -> Knife:
    return ground(bar_outline(), holes=holes, **more)


def hole(x: float, y: float, diameter: float, **more: Any) -> Hole:
    return Hole(**{"x": x, "y": y, "diameter": diameter, "purpose": "lightening", **more})


def spoiled() -> Iterator[Knife]:
    """Knives with one thing wrong, or a few."""
    yield holed(hole(-50.0, -4.0, 3.0))
    yield holed(hole(-50.0, -15.0, 6.0), hole(-58.5, -15.0, 6.0))
    yield holed(hole(-50.0, -15.0, 6.0), hole(-54.0, -15.0, 6.0))
    yield holed(hole(-12.0, -15.0, 6.0))
    yield holed(hole(-50.0, -1.0, 6.0), hole(-70.0, -15.0, 16.0))
    yield holed(hole(-50.0, -15.0, 1.5875), hole(-70.0, -15.0, 5.03, made="drilled"))
    yield drop_point(plunge=-2.0)
    yield drop_point(plunge=30.0, thickness=2.0, edge=0.1)
    yield drop_point(height=40.0, balance="chopper", hand_breadth=150.0)
    yield drop_point(shop=Shop(drills=drill_index("metric")), cutting=Cutting(pilot=3.0))
    yield knife(grind=Grind(bevel=FACE, plunge=Plunge(x=9.5, radius=80.0), rough_edge=0.45, sharpen_deg=3.0))
    yield knife(stock=Stock(steel="1084", thickness=4.0, taper=((-100.0, 1.0), (100.0, 3.9))))
    yield knife(grind=Grind(bevel=FullFlat(edge_thickness=0.4), plunge=Plunge(x=9.5)))
    scales = Scales(slab="NEMA L", thickness=30.0)
    yield knife(scales=scales)
    yield knife(scales=dataclasses.replace(scales, thickness=1.0, sanding=0.0))
    pin = Fastener(x=-30.0, y=-3.0, hardware=pins("1/4"))
    yield knife(fasteners=(pin,), scales=dataclasses.replace(scales, thickness=6.0))
    yield knife(fasteners=(pin,))
    zones = TextureZone(start=20.0, end=60.0, depth=1.6), MarkZone(x=60.0, y=-4.0, width=40.0, height=20.0, text="AB")
    yield knife(zones=zones)
    small = MarkZone(x=60.0, y=-4.0, width=2.0, height=1.0, text="BOB", made="stencil", depth=0.3)
    yield knife(zones=(small,))
    yield drop_point(steel="C36000")


@cache
def findings() -> dict[str, str]:
    """The first finding of each code."""
    found = [finding for design in spoiled() for finding in check(design)]
    found += [
        finding for pair in orders.pairs() for finding in check_order(pair.faulty, pair.faulty_knife or orders.knife())
    ]
    changed = (change(agreed_design()) for change in (*(change for _, change in SEEN.values()), *UNSEEN.values()))
    agreements = (design.agreement for design in changed)
    found += [finding for agreed in agreements if agreed is not None for finding in check_agreed(agreed)]
    agreed = agreed_design().agreeing(dataclasses.replace(SIGNED, price=AgreedPrice(amount="640.00", currency="EUR")))
    dearer = OfferNow(price=AgreedPrice(amount="652.50", currency="EUR"), terms=(AgreedTerm(what="tax", value="19 %"),))
    found += check_agreed(Compared(agreed, agreed, dearer))
    return {finding.code: finding.message for finding in reversed(found)}


def refused(make: Callable[[], object]) -> str:
    with pytest.raises(BladegeomError) as caught:
        make()
    return str(caught.value)


def golden() -> dict[str, str]:
    entries = (entry.split("\n", 1) for entry in GOLDEN.read_text(encoding="utf-8").strip().split("\n\n"))
    return {name: " ".join(words.split()) for name, words in entries}


@pytest.mark.parametrize("name", REFUSED)
def test_a_refusal_reads_as_it_was_read_over(name: str) -> None:
    assert refused(REFUSED[name]) == golden()[name]


@pytest.mark.parametrize("code", [name for name in golden() if name not in REFUSED])
def test_a_finding_reads_as_it_was_read_over(code: str) -> None:
    assert findings()[code] == golden()[code]


def test_all_that_is_read_over_is_there() -> None:
    assert set(REFUSED) <= set(golden())
    assert len(set(golden()) - set(REFUSED)) >= 30


if __name__ == "__main__":
    for name, make in REFUSED.items():
        print(f"{name}\n{refused(make)}\n")  # noqa: T201
    for code, message in sorted(findings().items()):
        print(f"{code}\n{message}\n")  # noqa: T201

"""A kind of fastener is one file: a press rivet that the library does not know goes through all of it.

And nothing in the library asks which kind it has before it.
"""

from __future__ import annotations

import ast
import dataclasses
import inspect
import json
import math
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest
from fastened import FLAT, GLUED, INCH_STANDOFF, PIN, at, bar
from press_rivet import PressRivet, RivetStack

from bladegeom.balance.handle_variants import METALS, handle_variants
from bladegeom.cli import main
from bladegeom.design.design import Design
from bladegeom.design.report_handle import fastener_report
from bladegeom.drawing.drawing import Label
from bladegeom.drawing.drawing import Path as Line
from bladegeom.drilling.card import DrillCard
from bladegeom.fasteners.hardware import Hardware, Stack
from bladegeom.fasteners.layer_stack import LayerStack
from bladegeom.fasteners.stack import lines_to_buy, stacks
from bladegeom.fasteners.stack_parts import Fitting
from bladegeom.fasteners.stack_words import key, number_words
from bladegeom.findings.check import check
from bladegeom.handle.parts import fastener_parts
from bladegeom.knife.fastener import DeclaredHardware, Fastener
from bladegeom.knife.hardware.bore import Bore
from bladegeom.knife.knife import Knife
from bladegeom.mass.weigh import weigh
from bladegeom.order.measures import measure
from bladegeom.price.bill import Bill
from bladegeom.quantities.drills import Drill
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.materials import material
from bladegeom.sheets.stack_section import stack_sections
from bladegeom.studies.difference import knife_difference
from bladegeom.workshop.route import route

RIVET = PressRivet(metal="304", barrel=6.0, post=4.0, barrel_length=10.25, head_diameter=9.0)


def riveted(*rivets: PressRivet, y: float = -15.0) -> Knife:
    return bar(*(at(-30.0 * (1 + i), rivet, y=y) for i, rivet in enumerate(rivets or (RIVET, RIVET))))


def codes(knife: Knife) -> set[str]:
    return {finding.code for finding in check(knife)}


def by_hand(density: float) -> float:
    """Mass of one rivet under flat scales, g: a round bar from seat to seat, and on each side 1.2 mm of a head.

    Half the tang 2 mm and 8 mm of finished scale: the face lies 10 mm off the middle, the seats 10 - 1.2 = 8.8 mm.
    """
    return math.pi / 4 * (6.0**2 * 2 * 8.8 + 9.0**2 * 2 * 1.2) * density / 1000


def test_its_stack_by_hand() -> None:
    """Slab 8.5, face 8.0 over the inside: counterbore 8.5 - (8.0 - 1.2) = 1.7; barrels 2 x 10.25 - 2 x 8.8 = 2.9."""
    numbers = stacks(riveted())[0].numbers
    told = {
        name: (round(number.low, 6), round(number.nominal, 6), round(number.high, 6))
        for name, number in numbers.items()
    }
    assert told == {
        "counterbore_depth": (1.6, 1.7, 1.8),
        "floor": (6.6, 6.8, 7.0),
        "head_left": (0.8, 1.2, 1.6),
        # Barrels 2 x 0.1; half the tang, slab and depth stop 0.025 + 0.1 + 0.1 on each side.
        "overlap": (2.25, 2.9, 3.55),
    }


def test_it_is_weighed() -> None:
    knife, alone = riveted(), bar()
    (part,) = fastener_parts(stacks(knife)[0])
    assert part.mass.amount == pytest.approx(by_hand(material("304").density_g_cm3))
    assert Counter(handle_part.name for handle_part in weigh(knife).parts)["press rivet"] == 1
    # What the rivets add, less what their holes take out: 6.15 mm in the tang, 6.05 and 9.09 mm in the scales.
    tang, hole, over = (bore.diameter for bore in knife.bores[0] if bore.layer != "liner")
    bored = tang**2 * 4 * material("1084").density_g_cm3
    bored += 2 * (hole**2 * 6.8 + over**2 * 1.2) * FLAT.material.density_g_cm3
    gain = 2 * (by_hand(material("304").density_g_cm3) - math.pi / 4 * bored / 1000)
    assert weigh(knife).total.amount - weigh(alone).total.amount == pytest.approx(gain, rel=1e-6)


def test_it_is_on_the_drill_card() -> None:
    knife = riveted()
    steps = DrillCard(knife).steps
    (sunk,) = [row for row in steps if row.operation.startswith("counterbore")]
    assert sunk.depth is not None
    assert (sunk.holes, round(sunk.depth.nominal, 6)) == (("F1", "F2"), 1.7)
    made = Counter((make.hole, make.piece, make.shape) for row in steps for make in row.makes)
    assert set(made.values()) == {1}
    assert {(piece, shape) for _, piece, shape in made} == {
        ("tang", "through hole"),
        *((f"{side} scale", shape) for side in ("right", "left") for shape in ("through hole", "counterbore")),
    }
    assert [row.operation for row in steps if row.part == "tang"][-1].startswith("measure the thickness")
    trial, press = steps[-2:]
    assert "do not press yet" in trial.note
    assert (press.part, press.holes, press.when) == ("rivets", ("F1", "F2"), "at gluing")


def test_it_is_pressed_while_the_handle_is_glued() -> None:
    glue = next(operation for operation in route(riveted()).operations if operation.key == "handle")
    assert [row.part for row in glue.rows] == ["rivets"]
    assert any("while the glue is wet" in task for task in glue.tasks)
    others = [operation for operation in route(riveted()).operations if operation.key != "handle"]
    assert not [row for operation in others for row in operation.rows if row.part == "rivets"]


class LateStack(RivetStack):
    """A rivet that is pressed when the handle is contoured."""

    @classmethod
    def fitted(cls, at: Sequence[Any]) -> Iterator[Fitting]:
        for fitting in super().fitted(at):
            yield dataclasses.replace(fitting, when="on the finished scales")


class LateRivet(PressRivet):
    def at(self, layers: LayerStack) -> LateStack:
        return LateStack(layers, self)


def test_what_is_set_on_the_finished_scales_is_not_told_as_pins() -> None:
    late = LateRivet(**{field.name: getattr(RIVET, field.name) for field in dataclasses.fields(RIVET)})
    operations = {operation.key: operation for operation in route(riveted(late)).operations}
    last = operations["peen"]
    assert [row.part for row in last.rows] == ["rivets"]
    words = " ".join((last.title, *last.tasks, last.need, *(blank.what for blank in last.blanks)))
    assert not re.search("pin|peen|chamfer", words)


def test_it_is_drawn_in_section() -> None:
    ((title, _, items),) = stack_sections(stacks(riveted()), 145.0)
    assert title == "Section through F1, F2 (drawn at F1): press rivet, 4:1"
    texts = {item.text for item in items if isinstance(item, Label)}
    assert {"barrels in each other 2.90 (0.114)", "head left 1.20 (0.047)", "2.25 to 3.55", "2.00"} <= texts
    # The head is ground flush with the face, 10 mm off the middle plane, at 4:1.
    corners = {
        (round(x, 3), round(abs(y), 3))
        for item in items
        if isinstance(item, Line)
        for x, y in item.curve.pieces[:, 0].tolist()
    }
    assert {(40.0, 18.0), (35.2, 18.0), (35.2, 12.0)} <= corners


def test_it_is_bought() -> None:
    knife = riveted()
    assert lines_to_buy(stacks(knife)) == ("Press rivets: 2 pairs of 304, heads 9.00 mm (0.354 in).",)
    assert Bill(knife, copies=3).hardware == (("press rivet 304, 6.00 x 10.25 mm", 6),)
    assert Bill(knife).rods == ()


def test_its_metal_moves_the_balance() -> None:
    knife = riveted()
    masses = [weigh(variant.make()).total.amount for variant in handle_variants(knife) if variant.name == "hardware"]
    densities = [material(name).density_g_cm3 for name, _ in METALS]
    found = [mass - masses[0] for mass in masses]
    assert found == pytest.approx([2 * (by_hand(density) - by_hand(densities[0])) for density in densities])


@pytest.mark.parametrize(
    ("code", "new"),
    [
        ("rivet-overlap", {"barrel_length": 9.0}),
        ("head-left", {"head_left": 0.7}),
        ("thin-wall", {"post": 5.5}),
        ("scale-play", {"scale_hole": 6.5}),
        ("scale-too-thin", {"head_left": 9.0, "head_height": 9.5}),
    ],
)
def test_it_is_held_to_limits_walls_and_play(code: str, new: dict[str, float]) -> None:
    assert code not in codes(riveted())
    assert code in codes(riveted(dataclasses.replace(RIVET, **new)))  # type: ignore[arg-type]


def test_its_head_keeps_off_the_border_and_off_its_neighbours() -> None:
    # The bar's border lies at y = -30: a counterbore of 9.09 mm breaks out at -26; 1.5 holes of 6.05 mm end at -20.9.
    assert "scale-bore-outside" in codes(riveted(y=-26.0))
    assert "near-border" in codes(riveted(y=-21.2))
    assert "near-border" not in codes(riveted(y=-20.6))
    wide = dataclasses.replace(RIVET, head_diameter=13.0)
    assert "scale-web" in codes(bar(at(-30.0, wide), at(-43.8, wide)))
    assert "scale-web" not in codes(bar(at(-30.0, wide), at(-44.4, wide)))


def test_the_way_out_that_is_told_is_one() -> None:
    short = dataclasses.replace(RIVET, barrel_length=9.0)
    (message,) = {
        finding.message.partition("; ")[2] for finding in check(riveted(short)) if finding.code == "rivet-overlap"
    }
    told = re.search(r"barrel_length=([\d.]+)", message)
    assert told, message
    assert "rivet-overlap" not in codes(riveted(dataclasses.replace(RIVET, barrel_length=float(told[1]))))


def test_what_no_layers_can_mend_is_told() -> None:
    stub = dataclasses.replace(RIVET, barrel_length=0.9)
    assert any("the barrels are shorter than that" in finding.message for finding in check(riveted(stub)))


def test_several_are_compared() -> None:
    assert "rivets-differ" not in codes(riveted())
    assert "rivets-differ" in codes(riveted(RIVET, dataclasses.replace(RIVET, metal="C36000")))


def test_it_needs_scales() -> None:
    knife = dataclasses.replace(riveted(), scales=None)
    assert {finding.code for finding in check(knife) if finding.part in ("F1", "F2")} == {"no-scales"}


def test_a_change_of_it_is_told() -> None:
    longer = dataclasses.replace(RIVET, barrel_length=11.0)
    told = " ".join(str(text) for text in knife_difference(riveted(RIVET), riveted(longer)))
    assert "barrel length" in told


def test_it_stands_among_others() -> None:
    """What comes off again is told first, what stays last; nothing of one kind is lost for another."""
    knife = bar(at(-20.0, RIVET), at(-50.0, PIN), at(-80.0, INCH_STANDOFF), scales=GLUED)
    words = [line.split(" ")[0] for line in lines_to_buy(stacks(knife))]
    assert words == ["Standoffs:", "Screws:", "Press", "Rod"]
    assert measure("lanyard bore").of(knife) is None
    parts = [row.part for row in DrillCard(knife).steps]
    assert [part for part in parts if part in ("standoffs", "rods", "rivets")] == ["standoffs", "rods", "rivets"]


SCRIPT = """\
from bladegeom import FlatBevel, Grind, Knife, Plunge, Scales, Stock, add_fasteners, join_halves
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled
from press_rivet import PressRivet

def design() -> Knife:
    outline = join_halves(DropPoint(), Swelled())
    grind = Grind(bevel=FlatBevel(height=18.0, edge_thickness=0.4), plunge=Plunge(x=outline.heel[0] + 4.0))
    stock = Stock(steel="1.4116", thickness=3.5)
    scales = Scales(slab="NEMA L", thickness=7.0)
    knife = Knife(name="Riveted", outline=outline, stock=stock, grind=grind, scales=scales)
    rivet = PressRivet(metal="304", barrel=5.0, post=3.5, barrel_length=9.5, head_diameter=7.5)
    return add_fasteners(knife, rivet, count=2)
"""


def test_it_is_reported_and_its_numbers_have_words() -> None:
    rows = fastener_report(Design(riveted()))
    assert [(row["kind"], row["screw"]) for row in rows] == [("press rivet", None)] * 2
    assert rows[0]["overlap"] == pytest.approx(2.9)
    assert rows[0]["mass"] == pytest.approx(by_hand(material("304").density_g_cm3))
    assert [number_words(name) for name in rows[0]["worst"]][-1] == "barrels in each other"


@pytest.mark.long
def test_a_knife_that_has_it_is_exported(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.syspath_prepend(str(Path(__file__).parent))
    (tmp_path / "riveted.py").write_text(SCRIPT)
    assert main(["export", "riveted.py", "--paper", "A4", "--out", "out"]) == 0
    out = tmp_path / "out"
    (report,) = [json.loads(path.read_text()) for path in out.glob("*report.json")]
    assert [fastener["kind"] for fastener in report["fasteners"]] == ["press rivet"] * 2
    assert set(report["fasteners"][0]["worst"]) == {"counterbore_depth", "floor", "head_left", "overlap"}
    told = [
        path.name
        for path in out.rglob("*")
        if path.suffix in (".txt", ".html") and "barrels in each other" in path.read_text()
    ]
    assert len(told) >= 2, told


# Nobody asks which kind

ROOT = Path(__file__).resolve().parents[1]


def made_from(base: type) -> set[type]:
    """All classes made from a class."""
    direct: list[type] = base.__subclasses__()
    return {kind for first in direct for kind in (first, *made_from(first))}


def files_of(kind: type) -> set[Path]:
    """A kind's own files: its module, the others of its folder, and those of kinds that are made from it."""
    paths = {ROOT / f"{each_kind.__module__.replace('.', '/')}.py" for each_kind in (kind, *made_from(kind))}
    room = ROOT / "bladegeom" / "fasteners"
    return {path for own in paths for path in ((own,) if own.parent == room else own.parent.glob("*.py"))}


def named_in(text: str) -> set[str]:
    """All names that a module uses or imports."""
    out = set()
    for node in ast.walk(ast.parse(text)):
        match node:
            case ast.Name(id=name) | ast.Attribute(attr=name) | ast.alias(name=name):
                out.add(name)
    return out


def test_no_module_names_a_kind_but_the_kinds_own() -> None:
    kinds = [kind for kind in made_from(Hardware) | made_from(Stack) if kind.__module__.startswith("bladegeom.")]
    assert {"Pin", "Tube", "ShoulderedBolt", "StandoffScrews", "RodStack"} <= {kind.__name__ for kind in kinds}
    named = {path: named_in(path.read_text(encoding="utf-8")) for path in (ROOT / "bladegeom").rglob("*.py")}
    strangers = [
        f"{path.relative_to(ROOT)}: {kind.__name__}"
        for kind in kinds
        for path, names in named.items()
        if kind.__name__ in names and path not in files_of(kind)
    ]
    assert strangers == []


@pytest.mark.parametrize(
    "text",
    [
        "isinstance(one, Pin)",
        "match one:\n    case Pin(): ...",
        "from bladegeom.fasteners.pin import Pin as Rod",
        "a = b.Pin",
        "x: dict[str, Pin]",
    ],
)
def test_a_named_kind_is_seen(text: str) -> None:
    assert "Pin" in named_in(text)


# Nothing can be left out


@pytest.mark.parametrize(
    ("base", "kind", "member"),
    [
        (base, kind, member)
        for base, kind in ((Hardware, PressRivet), (Stack, RivetStack))
        for member in sorted(base.__abstractmethods__)
    ],
)
def test_a_kind_that_leaves_something_out_cannot_be_made(base: type, kind: type, member: str) -> None:
    """What mypy tells as "Cannot instantiate abstract class" when the kind is used, Python tells here."""
    part = type("Part", (kind,), {member: inspect.getattr_static(base, member)})
    with pytest.raises(TypeError, match=rf"abstract.*\b{member}\b"):
        part()


def stub(name: str, member: object) -> str:
    """A member as a kind would write it, whatever it returns."""
    if isinstance(member, classmethod):
        return f"    @classmethod\n    def {name}(cls, *told: Any, **more: Any) -> Any: ...\n"
    if isinstance(member, property):
        return f"    @property\n    def {name}(self) -> Any: ...\n"
    return f"    def {name}(self, *told: Any, **more: Any) -> Any: ...\n"


@pytest.mark.long
def test_a_kind_that_leaves_something_out_is_a_type_error(tmp_path: Path) -> None:
    """Kinds that lack one member each, and one that lacks none, before the type checker."""
    mypy = pytest.importorskip("mypy.api")
    lines, wanted = (
        ["from typing import Any", "from bladegeom.fasteners.hardware import Hardware, Stack", "one: Any = None"],
        [],
    )
    for base, made in ((Hardware, "()"), (Stack, "(one, one)")):
        for out in (*sorted(base.__abstractmethods__), ""):
            kind = f"{base.__name__}_{out}"
            members = (
                stub(name, inspect.getattr_static(base, name)) for name in sorted(base.__abstractmethods__ - {out})
            )
            lines += [f"class {kind}({base.__name__}):", *members, f"{kind}{made}"]
            wanted += [f'Cannot instantiate abstract class "{kind}" with abstract attribute "{out}"'] if out else []
    path = tmp_path / "kinds.py"
    path.write_text("\n".join(lines))
    told, _, _ = mypy.run(
        [str(path), "--config-file", str(ROOT / "pyproject.toml"), "--disable-error-code", "empty-body"]
    )
    assert sorted(re.findall(r"error: (.*?)  \[", told)) == sorted(wanted)


def test_hardware_that_answers_no_more_than_a_knife_asks_is_refused() -> None:
    class Bare(DeclaredHardware):
        kind, purpose, materials = "bare", "fastener", ()

        def bores(self, index: Sequence[Drill]) -> tuple[Bore, ...]:
            return PIN.bores(index)

    knife = bar(Fastener(x=-30.0, y=-15.0, hardware=Bare()))
    with pytest.raises(ParameterError, match=r"hardware is Bare\(...\).*made from .*Hardware"):
        stacks(knife)


def test_a_number_has_one_name_on_all_papers() -> None:
    assert number_words("floor") == "floor"
    with pytest.raises(ParameterError, match="be called 'floor'"):
        key("floor", "ground")

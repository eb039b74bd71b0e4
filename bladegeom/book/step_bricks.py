"""A step of the drill card as a block: boxes to tick, what is done with what, its depth stop, what is written."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bladegeom.book.brick import Brick, abreast, height_of, in_batches, space, whole, written
from bladegeom.book.drill_rows import DrillStep, Numbered, PaperRow, names_told
from bladegeom.book.hand_marks import BLANK_HEIGHT, BLANK_WIDTH, SIDE, tick_box, written_line
from bladegeom.drawing.drawing import Item, Label
from bladegeom.drawing.type_sizes import HEAD, KEY, LEADING, TEXT
from bladegeom.drilling.row import CardRow
from bladegeom.quantities.lettering import DEPTH, text_width
from bladegeom.quantities.shown import depth_stop
from bladegeom.quantities.told import capital
from bladegeom.quantities.units import show_range

_GAP: Final = 3.0
"""Between two columns, mm."""

_APART: Final = 1.5
"""Between a box and its number, mm."""

_BETWEEN: Final = 0.9
"""Between two boxes, mm."""

_LABEL: Final = 24.0
"""Width of what stands beside a box, mm, at most."""

_MOST: Final = 3
"""Blanks that stand beside the text of a row with several of them."""

_SHOWN: Final = 0.005
"""Half the last digit of a length in mm."""


def block_bricks(block: DrillStep, width: float) -> Iterator[Brick]:
    """A block across a width, in parts that a page may end between."""
    if len(block.rows) == 1:
        yield _alone(block.first, width)
        return
    row = block.first.row
    head = (*written(f"{capital(row.operation)} ({row.part})", width, size=HEAD, bold=True), space(1.0))
    note = written(block.note, width) if block.note else ()
    lines = [_line(each, width, "" if block.note else each.note) for each in block.rows]
    yield whole((*head, lines[0]))
    yield from lines[1:-1]
    yield whole((lines[-1], *note))


def _alone(row: PaperRow, width: float) -> Brick:
    """A step, or several that read alike, with all its words."""
    right = _right(row)
    taken = _right_width(row) if right else 0.0
    left = _boxes_width(row) + _GAP
    room = width - left - (taken + _GAP if right else 0.0)
    names = f"{names_told(row.holes)}: " if row.holes else ""
    tool = (
        row.row.tool
        if len({step.row.part for step in row.steps}) > 1
        else ": ".join(text for text in (row.part, row.row.tool) if text)
    )
    text = _title(capital(names + row.row.operation), tool, room)
    # What stands lower than the blanks goes on under them.
    room = width - left if height_of(text) >= height_of(right) else room
    text = (
        *text,
        *(brick for other in row.others for brick in written(capital(other), room)),
        *written(" ".join(told for told in (row.order, _stop_words(row), row.note) if told), room),
        *_more_blanks(row, room),
    )
    return abreast([(0.0, _boxes(row)), (left, text), (width - taken, right)])


def _title(title: str, tool: str, room: float) -> tuple[Brick, ...]:
    """What is done, and with what behind it on the same line where that has room."""
    at = text_width(title, HEAD, bold=True) + _GAP
    first = written(title, room, size=HEAD, bold=True)
    if at + text_width(tool, TEXT, bold=True) > room:
        return (*first, *written(tool, room, bold=True))
    beside = Label(layer="NOTE", x=at, y=-HEAD * (LEADING - DEPTH), text=tool, height=TEXT, bold=True)
    return (Brick(items=(beside,), height=first[0].height, parts=((0.0, 0.0, first[0]),)),)


def _line(row: PaperRow, width: float, note: str) -> Brick:
    """One of several rows under common words, on the line that is written on where there is one."""
    right, left = _right(row), _boxes_width(row) + _GAP
    room = width - left - (BLANK_WIDTH + _GAP if right else 0.0)
    names = names_told(row.holes)
    told = f"{row.row.tool}. {capital(note)}" if note else row.row.tool
    beside = text_width(f"{names}  ", TEXT, bold=True)
    if beside < room / 3:
        text = abreast([(0.0, written(names, room, bold=True)), (beside, written(told, room - beside))])
    else:
        text = whole((*written(names, room, bold=True), *written(told, room)))
    down = space(BLANK_HEIGHT - SIDE - 0.4 if right else 0.4)
    columns = ((0.0, (down, *_boxes(row))), (left, (down, space(1.0), text)), (width - BLANK_WIDTH, right))
    return abreast(columns)


def _told(step: Numbered) -> str:
    return f"{step.number} {step.label}".strip()


def _boxes_width(row: PaperRow) -> float:
    widest = max(text_width(told, TEXT, bold=True) for told in ("00", *map(_told, row.steps)))
    return SIDE + _APART + min(widest, _LABEL)


def _boxes(row: PaperRow) -> tuple[Brick, ...]:
    """Boxes to tick below each other, the number of its step beside each."""
    least = BLANK_HEIGHT + 1.0 if any(map(_is_written, (step.row for step in row.steps))) else SIDE + _BETWEEN
    out = list[Brick]()
    for step in row.steps:
        told = abreast([(SIDE + _APART, (space(1.0), *written(_told(step), _LABEL, bold=True)))])
        height = max(told.height, least if len(row.steps) > 1 else SIDE + _BETWEEN)
        out.append(Brick(items=(tick_box(0.0, -0.4),), height=height, parts=((0.0, 0.0, told),)))
    return tuple(out)


def _right_width(row: PaperRow) -> float:
    """Of depth stops, and of blanks under them or alone, mm."""
    keys = [_key_width(step, told=_tells(row)) for step in row.steps if step.row.depth is not None]
    return max([BLANK_WIDTH, *keys, *map(_blank_width, _readings(row))])


def _right(row: PaperRow) -> tuple[Brick, ...]:
    """Depth stops, those that read alike once, and what is written beside a step that makes or measures something."""
    told = _tells(row)
    deep = {
        (depth_stop(step.row.depth.nominal).text, step.label if told else ""): step
        for step in row.steps
        if step.row.depth is not None
    }
    keys = tuple(Brick(items=tuple(_key(step, told=told)), height=KEY * LEADING) for step in deep.values())
    return (*keys, *map(_blank, _readings(row)[:_MOST]))


def _readings(row: PaperRow) -> tuple[str, ...]:
    """What is written: a name for each where several are read at one step."""
    step = row.row
    if step.measures and step.part in _READ_APART:
        return _READ_APART[step.part] or (step.holes if len(step.holes) > 1 else ("",))
    labels = tuple(each.label for each in row.steps if _is_written(each.row))
    return labels if len(labels) > _MOST else ("",) * len(labels)


_READ_APART: Final = {"tang": (), "both scales": ("right", "left")}
"""Parts that are measured at several places, with the names of these; of the tang, those of the holes."""


def _blank_width(name: str) -> float:
    return BLANK_WIDTH + (text_width(name, TEXT) + _APART if name else 0.0)


def _blank(name: str) -> Brick:
    """A line to write on, with the name of what is read before it."""
    left = _blank_width(name) - BLANK_WIDTH
    before = (Label(layer="NOTE", x=0.0, y=-BLANK_HEIGHT, text=name, height=TEXT),) if name else ()
    return Brick(items=(*before, written_line(left, -BLANK_HEIGHT, left + BLANK_WIDTH)), height=BLANK_HEIGHT + 1.0)


def _more_blanks(row: PaperRow, room: float) -> Iterator[Brick]:
    """Those that have no room beside the text, under it."""
    names = _readings(row)[_MOST:]
    each = max([0.0, *map(_blank_width, names)]) + _GAP
    for some in in_batches(names, max(1, int((room + _GAP) / each))):
        yield abreast([(i * each, (_blank(name),)) for i, name in enumerate(some)])


def _tells(row: PaperRow) -> bool:
    """Whether depth stops of a row differ, so that each is told with the names of its holes."""
    return len({depth_stop(step.row.depth.nominal).text for step in row.steps if step.row.depth}) > 1


def _is_written(row: CardRow) -> bool:
    """Whether a number is to be written: one that is measured, a hole of the steel, a depth that may stray."""
    strays = row.depth is not None and row.depth.high - row.depth.low >= _SHOWN
    return row.measures or strays or any(bore.piece == "tang" for bore in row.makes)


def _key_parts(step: Numbered, *, told: bool) -> Iterator[tuple[str, float, bool]]:
    """Text, height in mm, and whether it is bold."""
    if step.row.depth is not None:
        shown = depth_stop(step.row.depth.nominal)
        yield shown.first, KEY, True
        yield shown.second, TEXT, False
        if told:
            yield step.label, TEXT, True


def _key_width(step: Numbered, *, told: bool) -> float:
    return sum(text_width(text, size, bold=bold) + _APART for text, size, bold in _key_parts(step, told=told))


def _key(step: Numbered, *, told: bool) -> Iterator[Item]:
    x = 0.0
    for text, size, bold in _key_parts(step, told=told):
        yield Label(layer="NOTE", x=x, y=-KEY * (LEADING - DEPTH), text=text, height=size, bold=bold)
        x += text_width(text, size, bold=bold) + _APART


def _stop_words(row: PaperRow) -> str:
    """From where a depth counts, and its worst case."""
    if row.row.depth is None:
        return "Right through." if row.row.makes and not row.row.checks else ""
    worst = dict[str, list[str]]()
    for step in row.steps:
        depth = step.row.depth
        if depth is not None and depth.high - depth.low >= _SHOWN:
            worst.setdefault(show_range(depth.low, depth.high), []).append(step.label)
    told = [f"{', '.join(labels)} {text}" if len(worst) > 1 else text for text, labels in worst.items()]
    return f"Stop from the {row.row.face}{'; at worst ' if told else ''}{', '.join(told)}."

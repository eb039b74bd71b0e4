"""The bar from the spine and from the edge: thickness at its stations, lines to scribe where they belong."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
import specimens

from bladegeom.curves.curve import points
from bladegeom.drawing.drawing import THIN_PEN, Drawing, Label, Path
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.knife.knife import Knife
from bladegeom.sheets.spine_view import spine_view


def tapered(only: str | None = None, rough: float | None = None) -> Knife:
    knife = specimens.drop_point()
    stock = dataclasses.replace(knife.stock, taper=((-60.0, 3.0), (10.0, 4.0), (110.0, 2.0)))
    grind = dataclasses.replace(knife.grind, only=only, rough_edge=rough)  # type: ignore[arg-type]
    return dataclasses.replace(knife, grind=grind, stock=stock)


def strips(drawing: Drawing) -> list[Path]:
    return [item for item in drawing.items if isinstance(item, Path) and item.layer == "CUT"]


def texts(drawing: Drawing) -> list[str]:
    return [item.text for item in drawing.items if isinstance(item, Label)]


def test_the_bar_is_as_thick_and_as_long_as_it_is() -> None:
    knife = tapered()
    bar = strips(spine_view(knife))[0].curve.pieces[:, 0]
    x0, _, x1, _ = knife.outline.bounds
    assert np.ptp(bar[:, 0]) == pytest.approx(x1 - x0)
    left = bar[:, 0].min()
    middle = (bar[:, 1].max() + bar[:, 1].min()) / 2
    for x, y in bar:
        # The stock's own law, straight between its stations.
        wanted = np.interp(x - left + x0, [-60.0, 10.0, 110.0], [1.5, 2.0, 1.0])
        assert abs(y - middle) == pytest.approx(wanted)
    assert {round(v - left + x0, 6) for v in bar[:, 0]} >= {-60.0, 10.0}


@pytest.mark.parametrize("off", [0.0, 1e-14, -1e-14, 1e-7, -1e-7])
def test_a_station_at_the_very_butt_or_tip_is_the_butt_or_tip(off: float) -> None:
    knife = specimens.drop_point()
    x0, _, x1, _ = knife.outline.bounds
    stock = dataclasses.replace(knife.stock, taper=((x0 + off, 2.0), (0.0, 4.0), (x1 + off, 1.0)))
    bar = strips(spine_view(dataclasses.replace(knife, stock=stock)))[0].curve.pieces[:, 0]
    assert len(bar) == 6
    assert np.ptp(bar[:, 0]) == pytest.approx(x1 - x0)


def test_stations_tell_the_thickness_in_both_units() -> None:
    told = texts(spine_view(tapered()))
    # 3 mm are 0.118 in, 2 mm are 0.079 in: by definition of the inch.
    for wanted in ("x -60.0", "3.00 (0.118)", "x 110.0", "2.00 (0.079)", "x 10.0", "4.00 (0.157)"):
        assert wanted in told


@pytest.mark.parametrize("rough", [None, 0.9])
def test_a_strip_of_the_edge_for_each_stage(rough: float | None) -> None:
    knife = tapered(rough=rough)
    drawing = spine_view(knife)
    edge = knife.outline.edge
    xy = points(edge, np.linspace(0, len(edge), 200_001))
    size = np.hypot(*np.diff(xy, axis=0).T).sum()
    bars = strips(drawing)[1:]
    assert len(bars) == (1 if rough is None else 2)
    for strip, stays in zip(bars, [0.5] if rough is None else [0.9, 0.5], strict=True):
        corners = strip.curve.pieces[:, 0]
        # Laid out flat it is as long as the edge, to the 0.005 mm of its chords.
        assert np.ptp(corners[:, 0]) == pytest.approx(size, abs=0.01)
        low, high = corners[:, 1].min(), corners[:, 1].max()
        assert high - low == pytest.approx(4.0)
        lines = [
            item.curve.pieces[:, 0, 1]
            for item in drawing.items
            if isinstance(item, Path)
            and item.layer == "MARK"
            and item.pen == THIN_PEN
            and low < item.curve.start[1] < high
        ]
        assert len(lines) == 2
        assert abs(lines[0] - lines[1]) == pytest.approx(stays)
        assert sorted((lines[0][0] - low, lines[1][0] - low)) == pytest.approx([(4 - stays) / 2, (4 + stays) / 2])


def test_one_side_alone_is_scribed_from_that_side() -> None:
    """Seen from the edge with the tip to the right, the right face is above."""
    knife = tapered(only="right")
    drawing = spine_view(knife)
    corners = strips(drawing)[1].curve.pieces[:, 0]
    high = corners[:, 1].max()
    lines = [
        item.curve.pieces[:, 0]
        for item in drawing.items
        if isinstance(item, Path) and item.layer == "MARK" and item.pen == THIN_PEN and item.curve.start[1] < high
    ]
    right, _ = GrindSheet(knife).scribe_offsets("finished")
    upper = max(lines, key=lambda rows: rows[0, 1])
    assert high - upper[0, 1] == pytest.approx(right)
    assert right > 2.0
    # The stock tapers, so that the line runs aslant.
    assert np.ptp(upper[:, 1]) > 0.3
    assert any("right face above" in text for text in texts(drawing))


def test_every_strip_bears_its_name() -> None:
    knife = tapered(rough=0.9)
    assert sum(text.startswith(f"{knife.name}, {knife.revision}-") for text in texts(spine_view(knife))) == 2

"""What a maker sets, scribes and measures at the grinder, as data."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.grinding.lower_face import LowerFace, lower_face, until
from bladegeom.grinding.station import DEPTH_STEP, Station, ahead_of_plunge, square_to_edge, station_at
from bladegeom.grinding.thickness import thickness
from bladegeom.knife.bevels.face import Face, Section
from bladegeom.knife.bevels.sample_points import SamplePoints
from bladegeom.knife.grind import STAGES, Flank, Stage
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.quantities.tolerances import FINE_CHORD

_FINE_STEP = 0.01
"""Places along a station's line where two faces are compared are this far apart, mm."""

_LOOKED_AT = 101
"""Places of a section at which a face may look at itself."""

_APART = 4.0
"""Stations are at least this far apart, mm, so that their numbers do not run into each other."""


@dataclass(frozen=True, kw_only=True)
class EarlierStage:
    """A blade ground to size with some of its faces, before the next one is set below them.

    Args:
        kinds: Of the faces that it has.
        before: Which face comes next, in words.
        sheet: Of the blade as it stands then.
    """

    kinds: str
    before: str
    sheet: GrindSheet

    @property
    def words(self) -> str:
        """Which faces it has, and which one comes next."""
        return f"{self.kinds}, {self.before}"


@dataclass(frozen=True)
class GrindSheet:
    """Settings, scribe lines and expected thicknesses of a blade.

    Args:
        knife: The design.
        step: Distance of the stations along x, mm.
        height_step: Distance of the heights at which thickness is told, mm.

    >>> sheet = grind_sheet(knife)
    >>> round(sheet.first.angle_deg, 2), [round(value, 2) for value in sheet.scribe_offsets("finished")]
    (5.21, [1.55, 1.55])
    """

    knife: Knife
    step: float = 25.0
    height_step: float = 5.0

    @property
    def flank(self) -> Flank:
        """The side told of: the ground one, or the right one where both are alike."""
        return self.knife.grind.only or "right"

    @cached_property
    def first(self) -> Station:
        """The station just ahead of the plunge line and of the hollow along it."""
        return station_at(self.knife, self.flank, self._places[0])

    @cached_property
    def first_line(self) -> tuple[Vector, Vector]:
        """Foot of the first station, and the unit vector square to the edge there."""
        return square_to_edge(self.knife, self._places[0])

    @cached_property
    def stations(self) -> tuple[Station, ...]:
        """From the first to just behind the tip, ground to size."""
        return (self.first, *(station_at(self.knife, self.flank, x) for x in self._places[1:]))

    @cached_property
    def rough_stations(self) -> tuple[Station, ...]:
        """The same places as they are ground before hardening; none where the blade is hardened unground.

        On a flat bevel the line lies at (T - rough edge) / 2 / tan(angle) from the edge.
        """
        if self.knife.grind.rough_edge is None:
            return ()
        return tuple(station_at(self.knife, self.flank, x, "rough") for x in self._places)

    @cached_property
    def earlier(self) -> tuple[EarlierStage, ...]:
        """The blade as it stands before each face that comes after the first one, in the order of the work."""
        faces = self.in_order
        return tuple(
            EarlierStage(
                kinds=" over ".join(face.kind for face in faces[:i]),
                before=f"before the {faces[i].kind}",
                sheet=dataclasses.replace(self, knife=_ground_with(self.knife, faces[:i])),
            )
            for i in range(1, len(faces))
        )

    @cached_property
    def in_order(self) -> tuple[Face, ...]:
        """The faces that show, in the order of the work: what leaves more at the edge comes first."""
        shown = (self.uppermost, *(each_lower_face.face for each_lower_face in self.showing))
        return tuple(sorted(shown, key=lambda face: -face.edge_thickness))

    @cached_property
    def heights(self) -> tuple[float, ...]:
        """Distances from the edge at which thickness is told, from the edge itself upwards, mm."""
        most = max(station.reach for station in self.stations)
        return tuple(np.arange(0.0, most, self.height_step).tolist())

    def thickness(self, stage: Stage) -> FloatArray:
        """Thickness to expect, shape (stations, heights), mm; NaN above the spine."""
        rows = []
        for station in self.stations:
            d = np.array(self.heights)
            x, y = station.place(d)
            rows.append(np.where(d <= station.reach, thickness(self.knife, stage, x, y, chord=FINE_CHORD), np.nan))
        return np.array(rows)

    @property
    def stages(self) -> tuple[Stage, ...]:
        """The ground stages that differ from the one before."""
        rough = self.knife.grind.rough_edge is not None
        return tuple(stage for stage in STAGES[1:] if stage != "rough" or rough)

    def scribe_offsets(self, stage: Stage, x: float | None = None) -> tuple[float, float]:
        """Distances of the two lines to scribe on the blank's edge from its right and from its left face, mm.

        Between them lies the edge as the first face should leave it at that stage. Where both sides are ground alike
        this holds all along, whatever the taper; where one is, and the stock tapers, it holds at an x alone.

        Args:
            stage: Ground up to which.
            x: Where, mm; None is the heel.
        """
        bar, edge = self.knife.stock.thickness, self.scribed_edge(stage)
        if self.knife.grind.only is None:
            return (bar - edge) / 2, (bar - edge) / 2
        at = self.knife.outline.heel[0] if x is None else x
        flat = bar / 2 - float(self.knife.stock.half_thickness(np.array([at]))[0])
        ground = bar - flat - edge
        return (ground, flat) if self.knife.grind.only == "right" else (flat, ground)

    def scribed_edge(self, stage: Stage) -> float:
        """Thickness that stays between the scribed lines, mm."""
        grind = self.knife.grind
        rough = grind.rough_edge if stage == "rough" else None
        return self.in_order[0].edge_thickness if rough is None else rough

    @property
    def uppermost(self) -> Face:
        """The face that meets the stock, or the spine, at the first station."""
        return self.knife.grind.faces[self._at_first[0]]

    @property
    def lower(self) -> tuple[LowerFace, ...]:
        """The faces below the uppermost one, at the first station."""
        first, faces = self._at_first
        return (*faces[:first], *faces[first + 1 :])

    @cached_property
    def showing(self) -> tuple[LowerFace, ...]:
        """The faces beside the uppermost one that show, each at the first station where it does."""
        missing = [i for i, face in enumerate(self._at_first[1]) if face.height < _FINE_STEP]
        farther: list[LowerFace] = []
        for number, station in enumerate(self.stations[1:], start=2) if missing else ():
            faces = self._faces_at(station, number)[1]
            farther += [faces[i] for i in missing if faces[i].height >= _FINE_STEP]
            missing = [i for i in missing if faces[i].height < _FINE_STEP]
        return (*(lower for lower in self.lower if lower.height >= _FINE_STEP), *farther)

    @cached_property
    def _at_first(self) -> tuple[int, tuple[LowerFace, ...]]:
        return self._faces_at(self.first, 1)

    def _faces_at(self, station: Station, number: int) -> tuple[int, tuple[LowerFace, ...]]:
        """Which of the faces is the uppermost at a station, and how far each shows there."""
        top = station.reach if station.grind_line is None else min(station.grind_line, station.reach)
        d = np.arange(0.0, max(top, 2 * _FINE_STEP), _FINE_STEP)
        laws = self.laws(self.knife.grind.faces, d, (station.foot, station.inward))[1:]
        faces = tuple(lower_face(face, d, laws, i, number) for i, face in enumerate(self.knife.grind.faces))
        return _uppermost(laws, d, top), faces

    def laws(
        self, faces: Sequence[Face], from_edge: FloatArray, along: tuple[Vector, Vector] | None = None
    ) -> FloatArray:
        """Heights of the stock and of each of some faces along a line, shape (1 + faces, n), mm.

        Args:
            faces: Any.
            from_edge: Distances along the line, shape (n,), mm.
            along: Foot of the line and unit vector along it; None is the first station's.
        """
        at = self._spots(from_edge, self.first_line if along is None else along)
        return np.stack([at.stock, *(face.surface(at) for face in faces)])

    def section(self, face: Face) -> Section:
        """Where a face shows along a station's line, for what it answers about itself; looked up only if it asks."""
        return _Shown(self, face)

    def is_flat(self, face: Face) -> bool:
        """Whether a jig sets the angle of one of its faces; else it is that of the chord."""
        return face.is_flat(self.section(face))

    def shown(self, face: Face) -> tuple[Station, float]:
        """The station where a face shows first, and how far up it shows there, mm; the first where it never does."""
        if face != self.uppermost:
            for lower in self.showing:
                if lower.face == face:
                    return self.stations[lower.station - 1], lower.height
        return self.first, self.first.reach if self.first.grind_line is None else self.first.grind_line

    def _spots(self, from_edge: FloatArray, along: tuple[Vector, Vector]) -> SamplePoints:
        (foot_x, foot_y), (across, up) = along
        x, y = foot_x + from_edge * across, foot_y + from_edge * up
        side = self.knife.side("finished", self.flank, chord=FINE_CHORD)
        return SamplePoints(
            x=x,
            y=y,
            from_edge=from_edge,
            measured=from_edge,
            stock=side.stock.half_thickness(x),
            spine=side.spine,
            alone=side.alone,
        )

    @property
    def facet(self) -> tuple[float, float]:
        """Height and width of the sharpened facet on one side, mm: it ends where it meets the face above; 0 if none.

        The crossing is searched along the first station; the tests compare it with the closed form, apex on the edge
        line: height e / (2 (tan a - tan b)) with the face's angle b at the edge.
        """
        d = np.arange(0.0, self.first.reach, _FINE_STEP)
        laws = self.laws(self.knife.grind.faces_at("sharp", self.flank), d)
        height = until(d, laws[:-1].min(axis=0) - laws[-1])
        return height, height / math.cos(math.radians(self.knife.grind.sharpen_deg))

    @cached_property
    def _places(self) -> tuple[float, ...]:
        """Where the stations are along x, mm."""
        line, tip = self.knife.plunge_line, self.knife.outline.tip[0]
        rear = max(line.start[0], line.end[0], self.knife.outline.heel[0])
        first, last = ahead_of_plunge(self.knife, self.flank, rear + self.knife.grind.plunge.radius + 1.0), tip - 3.0
        if last - first < _APART:
            return ((rear + tip) / 2,)
        inner = np.arange(math.ceil((first + _APART) / self.step) * self.step, last - _APART, self.step)
        return (first, *inner.tolist(), last)


@dataclass(frozen=True)
class _Shown:
    sheet: GrindSheet
    face: Face

    @cached_property
    def places(self) -> SamplePoints:
        """See :class:`Section`."""
        station, end = self.sheet.shown(self.face)
        return self.sheet._spots(np.linspace(0.0, end, _LOOKED_AT), (station.foot, station.inward))


@memo
def grind_sheet(knife: Knife) -> GrindSheet:
    """Of a knife, with stations every 25 mm."""
    return GrindSheet(knife)


def _ground_with(knife: Knife, faces: tuple[Face, ...]) -> Knife:
    return dataclasses.replace(knife, grind=dataclasses.replace(knife.grind, bevel=faces))


def _uppermost(laws: FloatArray, d: FloatArray, top: float) -> int:
    """Index of the face that is least at the grind line."""
    return int(laws[:, min(int(np.searchsorted(d, top - DEPTH_STEP)), len(d) - 1)].argmin())

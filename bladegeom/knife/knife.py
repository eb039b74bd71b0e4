"""A knife as a maker declares it, and the lines that follow from the declaration."""

from __future__ import annotations

import itertools
import math
from dataclasses import field
from functools import cached_property
from typing import Annotated

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.build import direction, line
from bladegeom.curves.curve import Curve, FloatArray, Vector, join, split
from bladegeom.curves.flatten import flatten
from bladegeom.curves.meet import along_line, crossings
from bladegeom.curves.polyline import Polyline
from bladegeom.knife.cutting import Cutting
from bladegeom.knife.fastener import Fastener
from bladegeom.knife.front import front_curve
from bladegeom.knife.grind import Flank, Grind, Stage
from bladegeom.knife.handle_rules import HandleRules
from bladegeom.knife.hardware.bore import Bore
from bladegeom.knife.hole import Hole, Opening
from bladegeom.knife.rules import HoleRules, Shop
from bladegeom.knife.scale_face import ScaleFace
from bladegeom.knife.scales import Scales
from bladegeom.knife.side import Side, square_to
from bladegeom.knife.stock import Stock
from bladegeom.knife.zone import Zone
from bladegeom.outline.halves import has_hidden_tang
from bladegeom.outline.outline import Outline
from bladegeom.quantities.balance_bands import BalanceBand, balance_band
from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Becomes, Between, Coordinate, InUnit, Length, Like, Says
from bladegeom.quantities.tolerances import CHORD, JOINED
from bladegeom.quantities.usual import heeds_the_usual

_OFF_FOOT = 0.01
"""Crossings of the plunge line nearer than this to its foot are the foot itself, mm."""

_PREFIX = {"fastener": "F", "lightening": "L", "lanyard": "T"}


@heeds_the_usual
@declared("knife", example="Knife(name=..., outline=..., stock=..., grind=...)")
class Knife:
    """One design.

    Args:
        name: What it is called on every sheet.
        outline: Side view of the steel.
        stock: The bar.
        grind: The bevels.
        front_lean_deg: Lean of the handle front from upright; positive where its lower end lies towards the butt. The
            plunge line's own lean makes the two parallel.
        front_bow: By how much the handle front is an arc that bulges towards the tip, mm; negative hollows it.
        holes: Round holes and slots through the tang, besides those of the fasteners.
        scales: On the tang, if any.
        fasteners: What holds them, each in its place.
        hand_breadth: Of who will hold it, across the knuckles without the thumb, mm; None checks no hand.
        balance: Where it is wanted to balance: a kind of knife, such as "hunter", or a BalanceBand of one's own; None
            wants nothing.
        zones: For texture and marks on the faces.
        rules: Least distances of the holes.
        handle_rules: Least distances in the handle's stack.
        shop: Wheels, drills and cutting process.
        cutting: What is chosen about the cut file.
        revision: Of the design, printed on every sheet.

    Raises:
        ParameterError: Values that contradict each other; both are named.
        UnknownNameError: No such kind of knife.

    >>> from bladegeom import FlatBevel, Grind, Plunge, Stock
    >>> plain = Knife(
    ...     name="Galley",
    ...     outline=knife.outline,
    ...     stock=Stock(steel="1.4116", thickness=3.0),
    ...     grind=Grind(bevel=FlatBevel(height=17.0, edge_thickness=0.4), plunge=Plunge(x=3.0)),
    ... )
    >>> plain.revision, plain.hole_ids
    ('A', ())
    """

    name: Annotated[str, Says("Rigging knife")]
    outline: Annotated[Outline, Like("join_halves(DropPoint(), Swelled())")]
    stock: Stock
    grind: Grind
    front_lean_deg: Annotated[float, Between(-45.0, 45.0), InUnit("degrees")] = 0.0
    front_bow: Coordinate = 0.0
    holes: tuple[Opening, ...] = ()
    scales: Scales | None = None
    fasteners: tuple[Fastener, ...] = ()
    hand_breadth: Length | None = None
    balance: Annotated[str | BalanceBand, Becomes(balance_band)] | None = None
    zones: tuple[Zone, ...] = ()
    rules: HoleRules = field(default_factory=HoleRules)
    handle_rules: HandleRules = field(default_factory=HandleRules)
    shop: Shop = field(default_factory=Shop)
    cutting: Cutting = field(default_factory=Cutting)
    revision: Annotated[str, Says("A")] = "A"

    def __post_init__(self) -> None:
        if self.scales is not None and has_hidden_tang(self.outline.profiles):
            must = "be None: a stick tang hides in a handle block; scales lie on a full tang such as Swelled()"
            raise ParameterError("knife: scales", "Scales(...) on a stick tang", must)
        self._require_edge_fits()

    def _repr_svg_(self) -> str:
        from bladegeom.writers.notebook import knife_picture  # noqa: PLC0415

        return knife_picture(self)

    @property
    def balance_band(self) -> BalanceBand | None:
        """Where it is wanted to balance, if it is declared."""
        return None if self.balance is None else balance_band(self.balance)

    @cached_property
    def bores(self) -> tuple[tuple[Bore, ...], ...]:
        """What each fastener needs drilled, the tang first; with the shop's drills where they will do."""
        return tuple(fastener.hardware.bores(self.shop.drills) for fastener in self.fasteners)

    @cached_property
    def openings(self) -> tuple[Opening, ...]:
        """Everything that goes through the steel: a hole for each fastener in their order, then the other holes."""
        return self.holes_for_fasteners + self.holes

    @cached_property
    def holes_for_fasteners(self) -> tuple[Hole, ...]:
        """In the tang, one for each fastener."""
        return tuple(
            Hole(
                x=fastener.x,
                y=fastener.y,
                diameter=tang.diameter,
                purpose=fastener.hardware.purpose,
                made=fastener.made,
            )
            for fastener, (tang, *_) in zip(self.fasteners, self.bores, strict=True)
        )

    @cached_property
    def hole_ids(self) -> tuple[str, ...]:
        """A short name for each opening: F1, F2 for fasteners, L1 for lightening, T1 for a thong; front to rear."""
        holes = self.openings
        ids = [""] * len(holes)
        count: dict[str, int] = {}
        for i in sorted(range(len(holes)), key=lambda i: (-holes[i].x, holes[i].y)):
            prefix = _PREFIX[holes[i].purpose]
            count[prefix] = count.get(prefix, 0) + 1
            ids[i] = f"{prefix}{count[prefix]}"
        return tuple(ids)

    @cached_property
    def handle_front(self) -> Curve:
        """The line where the scales begin, from the origin down to the underside."""
        return front_curve(self.underside.end, self.front_bow)

    @cached_property
    def handle_front_middle(self) -> Vector:
        """The middle of the handle front, where it crosses the tang's mid height."""
        (x0, y0), (x1, y1) = self.handle_front.start, self.handle_front.end
        size = math.hypot(x1 - x0, y1 - y0)
        # Half way along, off the chord by the bow, square to it and towards the tip.
        return (x0 + x1) / 2 + self.front_bow * (y0 - y1) / size, (y0 + y1) / 2 + self.front_bow * (x1 - x0) / size

    @cached_property
    def scale_face(self) -> ScaleFace | None:
        """The finished outside of a scale; None without scales."""
        if self.scales is None:
            return None
        top, butt, under = self.outline.handle_top, self.outline.butt, self.underside
        border = Polyline(flatten(join(top, butt, under), CHORD))
        return ScaleFace(scales=self.scales, stock=self.stock, border=border, front=self.front_line)

    @cached_property
    def front_line(self) -> Polyline:
        """The handle front within 0.005 mm, to measure from."""
        return Polyline(flatten(self.handle_front, CHORD))

    @cached_property
    def handle_loop(self) -> Curve:
        """The tang behind the handle front, closed, counter-clockwise from the front's lower end."""
        front = self.handle_front.reversed()
        return join(front, self.outline.handle_top, self.outline.butt, self.underside)

    @cached_property
    def handle_region(self) -> Polygon:
        """The same as a polygon whose sides stay within 0.005 mm of the curves."""
        return Polygon(flatten(self.handle_loop, CHORD))

    @cached_property
    def front_to_heel(self) -> tuple[Curve, ...]:
        """The lower border of the steel from the handle front to the heel; none where the front ends at the heel."""
        lower, t = self._lower, self._front_hit
        if t >= len(lower) - JOINED:
            return ()
        return (split(lower, t)[1] if t > 0 else lower,)

    @cached_property
    def plunge_line(self) -> Curve:
        """The plunge line, from the lower border of the steel to the upper.

        Raises:
            ParameterError: It misses the steel.
        """
        plunge, loop = self.grind.plunge, self.outline.loop
        upright = along_line(loop, (plunge.x, 0.0), 90.0)
        if not len(upright):
            raise ParameterError("plunge line: x", f"{plunge.x:g} mm", "lie between the butt and the tip")
        foot = (plunge.x, float(upright[0]))
        dx, dy = direction(90.0 - plunge.lean_deg)
        crossed = along_line(loop, foot, 90.0 - plunge.lean_deg) if plunge.lean_deg else upright - foot[1]
        along = [s for s in crossed.tolist() if s > _OFF_FOOT]
        places = [foot, *((foot[0] + s * dx, foot[1] + s * dy) for s in along)]
        # Leaning back from the heel it first crosses the air below the choil.
        steel = [pair for pair in itertools.pairwise(places) if self._in_steel(pair)]
        if not steel:
            raise ParameterError(
                "plunge line: x", f"{plunge.x:g} mm", "lie where the steel is more than a point; move it from the tip"
            )
        return line(steel[0][0], steel[-1][1])

    @cached_property
    def bevel_region(self) -> BaseGeometry:
        """The steel in front of the plunge line, within 0.005 mm of the curves; holes are not cut out."""
        foot = np.array(self.plunge_line.start)
        dx, dy = direction(90.0 - self.grind.plunge.lean_deg)
        x0, y0, x1, y1 = self.outline.bounds
        far = 4 * ((x1 - x0) + (y1 - y0))
        along, ahead = far * np.array([dx, dy]), far * np.array([dy, -dx])
        ring = [foot - along, foot - along + ahead, foot + along + ahead, foot + along]
        return shapely.intersection(self.outline.polygon, Polygon(ring))

    @property
    def spine_points(self) -> FloatArray:
        """The spine as points (n, 2) within 0.005 mm, tip first."""
        return self.outline.spine_line.vertices

    def side(self, stage: Stage, flank: Flank, *, chord: float | None = None) -> Side:
        """One side of the steel at a stage of the work; its edge is chords within a distance of the curve, mm.

        None takes the chords of the outline's own edge.
        """
        grind = self.grind
        bare = stage == "blank" or (stage == "rough" and grind.rough_edge is None)
        return Side(
            stock=self.stock.untapered if bare else self.stock,
            faces=grind.faces_at(stage, flank),
            raised=grind.raised_at(stage),
            alone=grind.only is not None,
            edge=self.outline.edge_line(CHORD if chord is None else chord),
            spine=self.outline.spine_line,
            foot=self.plunge_line.start,
            ahead=square_to(grind.plunge.lean_deg),
            plunge_radius=grind.plunge.radius,
        )

    def _require_edge_fits(self) -> None:
        self.grind.require_fit(self.stock.thickness)
        rear, tip = self.grind.plunge.x, self.outline.tip[0]
        if self.stock.taper:
            for x in (rear, *(x for x, _ in self.stock.taper if rear < x < tip), tip):
                self.grind.require_fit(float(2 * self.stock.half_thickness(np.array([x]))[0]), x=x)

    def _in_steel(self, ends: tuple[Vector, Vector]) -> bool:
        """Whether the middle between two places of the outline lies inside."""
        (x0, y0), (x1, y1) = ends
        return bool(shapely.contains_xy(self.outline.polygon, (x0 + x1) / 2, (y0 + y1) / 2))

    @cached_property
    def underside(self) -> Curve:
        """The lower border of the steel from the butt to the handle front."""
        lower, t = self._lower, self._front_hit
        return lower if t >= len(lower) else split(lower, t)[0]

    @cached_property
    def _lower(self) -> Curve:
        return join(self.outline.handle_underside, self.outline.choil)

    @cached_property
    def _front_hit(self) -> float:
        """Place on underside and choil where the handle front ends."""
        if self.front_lean_deg == 0 and abs(self.outline.front_bottom[0]) < JOINED:
            return float(len(self.outline.handle_underside))
        dx, dy = direction(-90.0 - self.front_lean_deg)
        _, y0, _, y1 = self.outline.bounds
        reach = 3 * (y1 - y0)
        hits = crossings(line((0.0, 0.0), (reach * dx, reach * dy)), self._lower)
        if not hits:
            raise ParameterError(
                "knife: front_lean_deg", f"{self.front_lean_deg:g} degrees", "make the line meet the handle's underside"
            )
        return hits[0].t_b

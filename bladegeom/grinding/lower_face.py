"""A face that is set below another from the same edge, and how far it shows."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.bevels.face import Face

SAME = 1e-9
"""A face that lies no more than this below another does not show, mm."""


@dataclass(frozen=True, kw_only=True)
class LowerFace:
    """A face that is set below another from the same edge.

    Args:
        face: As declared.
        height: From the edge to where it meets the face above, mm; 0 where it never shows.
        angle_deg: Of its chord up to there, to the middle plane.
        station: Number of the station told of, from 1.
    """

    face: Face
    height: float
    angle_deg: float
    station: int = 1


def lower_face(face: Face, d: FloatArray, laws: FloatArray, i: int, station: int) -> LowerFace:
    """How far one of several faces shows from the edge.

    Args:
        face: It.
        d: Distances from the edge, shape (n,), mm.
        laws: Heights of all faces there, shape (faces, n), mm.
        i: Which of them it is.
        station: Number of the station, from 1.
    """
    law = laws[i]
    lead = np.delete(laws, i, axis=0).min(axis=0, initial=np.inf) - law - SAME
    height = until(d, lead) or _upper_end(d, lead)
    rise = float(np.interp(height, d, law) - law[0])
    return LowerFace(face=face, height=height, angle_deg=math.degrees(math.atan2(rise, height)), station=station)


def _upper_end(d: FloatArray, lead: FloatArray) -> float:
    """Where a lead that is not yet there at the edge comes to an end; 0 where there is none, mm."""
    shown = np.flatnonzero(lead > 0)
    return float(d[shown[-1]]) if len(shown) else 0.0


def until(d: FloatArray, lead: FloatArray) -> float:
    """The distance at which a lead, positive from the edge on, comes to an end; 0 where there is none, mm."""
    over = np.flatnonzero(lead[1:] <= 0)
    if not len(over):
        return float(d[-1])
    i = int(over[0])
    before, after = max(float(lead[i]), 0.0), float(lead[i + 1])
    share = before / (before - after) if before > after else 0.0
    return float(d[i] + share * (d[i + 1] - d[i]))

"""Every tolerance of the library, with its meaning. Lengths in mm, angles in degrees."""

from __future__ import annotations

from typing import Final

CHORD: Final = 0.005
"""Greatest distance of a chord from its curve wherever a curve becomes a polygon (checks, weighing, reports)."""

FINE_CHORD: Final = 0.00001
"""The same where few places are told in numbers: a wave of the chords would turn the last digit printed."""

ARC_FIT: Final = 0.01
"""Greatest distance between the true outline and the arcs of a cut file, measured on the file as read back."""

ARC_FIT_RESERVE: Final = 0.0005
"""Part of ARC_FIT kept back when fitting, for the rounding of coordinates in the file."""

MARK_FIT: Final = 0.002
"""The same between the lines of a mark and its file: a thirtieth of the thinnest line that a beam draws."""

GROWN_FIT: Final = 0.0025
"""Part of ARC_FIT that an outline with an allowance may take before its arcs are written: it is grown from arcs."""

LENGTH: Final = 1e-7
"""Greatest error of a curve's length."""

JOINED: Final = 1e-6
"""Two curve ends closer than this are one point; building makes them exactly equal."""

SMOOTH_DEG: Final = 0.1
"""Two curves whose directions differ by less are tangent; more is a corner."""

POINT: Final = 1e-9
"""Accuracy of nearest points and crossings, as a distance along the curve."""

SHOP: Final = 0.01
"""A rule is broken only if it is missed by more than this; no shop can measure less on a template."""

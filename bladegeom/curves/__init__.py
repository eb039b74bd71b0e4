"""Chains of cubic Beziers: building, measuring, flattening, meeting, rounding and fitting with arcs."""

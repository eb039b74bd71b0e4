"""Chains of cubic Beziers: building, measuring, flattening, meeting, rounding, offsetting, fairing, fitting with arcs.

What is drawn anywhere is one of these chains; nothing here knows what a knife is.
"""

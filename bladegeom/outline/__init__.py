"""Outlines with named curves: the halves that they are joined from, and the pieces that halves are built of.

Edges, spines, noses, corners, landmarks of a drawn loop, and parameters with their ranges.
"""

"""Fasteners, each kind in a file or folder of its own, and the stack that each stands in.

What every kind must answer stands in :mod:`bladegeom.fasteners.hardware`; layers, limits, ways out, words are shared.
Every number is an interval: nominal, least, greatest.
"""

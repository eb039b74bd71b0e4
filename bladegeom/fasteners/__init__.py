"""The stack at each fastener: layers, depths, floors, limits, and the ways out of a stack that does not fit.

Every number is an interval: nominal, least, greatest.
"""

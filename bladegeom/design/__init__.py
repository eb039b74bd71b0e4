"""A design as one value: the knife with its order, its work and what the maker allows, and all that follows from it.

Also how a maker's script becomes a design, and the report of one.
"""

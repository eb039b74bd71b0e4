"""The work on a knife: the route with its steps, heat treatment and quench, inspection.

Steps follow from the design; a maker's own changes are applied, and what they break is told.
"""

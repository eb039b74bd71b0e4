"""Blanks laid out on bars and sheets, and what is left of them.

Placed by fixed seeds and counted tries, so that the same blanks give the same nest.
"""

"""Openings in the steel: their clearances, the net section that they leave, and what is cut or drilled.

Placing them is another room's work.
"""

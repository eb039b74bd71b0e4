"""Units and their text forms, tolerances, errors, and tables of materials, drills and paper with their sources.

Everything else stands on this; it knows numbers and words only.
"""

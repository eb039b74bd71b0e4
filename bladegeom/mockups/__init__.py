"""A body to print and hold before steel is cut: blunt edge and tip, halves with dowels, ballast, pieces on a bed.

What needs booleans asks manifold3d; what fits where is asked in the plane, of slices.
"""

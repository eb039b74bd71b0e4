"""A mark at true size: its outlines in its field, how thin its lines and gaps are, and what falls out of a stencil.

From letters of the package's face, or from a drawing of the maker's own.
"""

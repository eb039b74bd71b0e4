"""Files for a cutting shop: what is cut of each part, written as DXF, read back, and told before it is sent.

Preflight takes anybody's file; a design is laid on it by its outline.
"""

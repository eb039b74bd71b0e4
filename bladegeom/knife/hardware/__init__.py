"""Handle hardware: what holds the scales on the tang.

Each is a value with its diameters and lengths; it yields the bores that it needs, layer by layer. How deep they go
follows from the stack that it stands in: see :mod:`bladegeom.fasteners.stack`.
"""

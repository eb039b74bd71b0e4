"""What hardware asks of the layers that it goes through: bores, their drills, and threads that hold.

The kinds themselves stand each in a file of its own: see :mod:`bladegeom.fasteners`.
"""

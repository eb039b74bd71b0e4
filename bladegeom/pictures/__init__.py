"""What a knife looks like: its parts in light, seen from somewhere.

A picture is pixels and the way from a place in mm to a pixel; which file or page it comes into is no matter of its own.
"""

"""All checks of a knife together.

A new check is named in the register here.
"""

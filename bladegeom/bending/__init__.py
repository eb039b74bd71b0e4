"""How far the bare tang gives way under a load: finite elements on a mesh that follows outline and rims.

A comparison between variants, never a promise of strength.
"""

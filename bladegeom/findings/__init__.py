"""All checks of a knife together, and the rules that need the balance besides.

A new rule is a file in the room of checks, or here; nothing else names it.
"""

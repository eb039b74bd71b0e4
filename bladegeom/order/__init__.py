"""The customer's order: what is wanted, how each wish is met, what the words say, what cannot go together.

Measures by name stand here, since orders limit them.
"""

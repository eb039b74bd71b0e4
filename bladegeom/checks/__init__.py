"""The checks of a knife, one rule to a module.

A rule looks at a knife and yields findings in trade words, each with a way out in numbers.
"""

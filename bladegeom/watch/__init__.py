"""A script's knife while it is shaped: its parameters to turn, its picture, what follows, and writing values back.

Neither a browser nor a server is known here; what they are handed is plain text, numbers, lists and dictionaries.
"""

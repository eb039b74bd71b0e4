"""The bench book: all that is printed for one knife, in working order, read at arm's length.

Each chapter is a function of a design in a file of its own; the register names them, and binds them into one book.
"""

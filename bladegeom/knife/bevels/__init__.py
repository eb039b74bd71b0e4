"""Ground faces, each a law of the height of a face over the middle plane. A new one is a file here.

A law may rise above the stock: of all laws on a side, the stock's own included, the least height wins.
"""

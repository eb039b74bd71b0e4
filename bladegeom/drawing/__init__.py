"""The drawing model in mm, and how it comes onto paper at true size: pages, tiles, seams, ruler bars, tables.

It knows no knife and no file format.
"""

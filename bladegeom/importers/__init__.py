"""Readers of drawings that others made: SVG, DXF, TOML and picked points become outlines, or a plan of cut lines.

Whatever the file, it is bounded in size, time and depth before anything is drawn.
"""

"""Writers: SVG, PDF, HTML, JSON, CSV and text; files whole or not at all.

The same input gives the same bytes.
"""

"""Writers: SVG, PDF and DXF of a drawing; the report as JSON and as text; files written whole or not at all."""

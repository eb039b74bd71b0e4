"""What the grinder is set to and what is measured there: grind lines, stations, thickness, zones on the faces.

The numbers of the grind sheet, for every stage of the work.
"""

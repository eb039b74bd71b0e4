"""What each page shows: templates, grind sheet, drill card, balance, proof, job card, quote, nest.

A sheet is a drawing in mm; it knows no file format.
"""

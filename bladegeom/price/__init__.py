"""What a run of knives costs: the maker's price list, bill of material, hours from the maker's log, the quote.

Money is decimal and rounded line by line; what has no price is named.
"""

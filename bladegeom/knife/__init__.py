"""What a maker declares: stock, grind, bevels, holes, scales, hardware, zones, rules, and the knife that holds them.

Also what is said of it: a finding, a revision id, and what is computed once for a knife.
"""

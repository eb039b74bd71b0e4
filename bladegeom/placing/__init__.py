"""Where holes and fasteners go: rows, lightening holes by search, slots, a wanted balance or mass, legal places.

What is placed here passes the checks.
"""

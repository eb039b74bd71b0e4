"""Volumes and their moments: columns under a face of any law, round pieces, parts that add up.

They know places and heights, and nothing of what the parts are for.
"""

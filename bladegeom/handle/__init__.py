"""The finished handle: its parts and volumes, sections and girth, the hand that holds it, the slabs that it takes.

What is declared of scales stands with the knife.
"""

"""The drill card: every hole of the knife in working order, where it is, how deep, with which tool.

Also what hardware to buy, and the cautions of the materials that are drilled.
"""

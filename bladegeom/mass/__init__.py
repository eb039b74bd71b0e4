"""Weighing: volume, mass, balance and inertia of the steel at each stage, and of the whole knife.

Also what belongs to the finished knife and is not weighed, so that every number can say so.
"""

"""Outlines with named curves, and the blade and handle profiles that they are joined from."""

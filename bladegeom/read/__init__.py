"""Readers of files that others wrote."""

"""Weighing, placing holes, and checking: what a declared knife comes to."""

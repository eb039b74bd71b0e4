"""Standoffs with screws: what is declared, how they fit the layers, what they are held to, and the ways out."""

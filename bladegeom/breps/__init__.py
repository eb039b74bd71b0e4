"""Parts of the knife as solids with true surfaces, by the OCC kernel.

Which names there are is said by the modules themselves; import from them.
"""

"""Settings of a shop: what is usual there, where each value comes from, and the file that they stand in.

Option before script, script before file, file before what is built in.
"""

"""What each command gives, in one call and without printing: for scripts, notebooks and the command line alike.

One command a file.
"""

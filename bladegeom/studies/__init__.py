"""Many variants of a design: sweeps over its parameters, and the difference between two of its states.

Work is spread over processes in bounded batches, its rows in order.
"""

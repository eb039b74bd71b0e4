"""The order beside design and work: where each requirement lands, what is missing, and what the job card says.

Nothing is complete until every must has landed.
"""

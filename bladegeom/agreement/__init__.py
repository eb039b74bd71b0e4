"""What maker and customer have agreed on, and where a design has left it.

Which changes a customer can see stands here in one table; the page that is signed is a sheet like others.
"""

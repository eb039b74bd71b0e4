"""The parts of a knife at a stage of the work as closed triangles.

They follow the same thickness laws that weigh it; how a part is drawn, printed or turned is no matter of theirs.
"""

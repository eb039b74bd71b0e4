"""What moves the balance of a design: finite changes, each made alone and weighed again; and the band that is wanted.

Each change tells which errors it would bring.
"""

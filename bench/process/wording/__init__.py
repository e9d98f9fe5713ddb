"""How times, durations, numbers, units and typed text read: once, for every surface.

Imports refusals only; every other closet of the rules may import it.
"""

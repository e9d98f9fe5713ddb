"""How times, durations, numbers, units and typed text are written: once, for every surface.

Imports refusals only; every closet above it may import it.
"""

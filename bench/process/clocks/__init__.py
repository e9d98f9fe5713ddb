"""Every clock: readings, temperatures, windows, the hours of parts and pots, cure, state.

Imports parts and what lies below it. An opening or closing leaves here as an ``Edge`` only.
"""

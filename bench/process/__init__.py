"""The rules of the trade: products, routes, clocks, windows and what a part may do next.

Pure: nothing here reads a clock, a screen or a table. Time and readings are handed in.
"""

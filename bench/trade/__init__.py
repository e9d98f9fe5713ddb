"""The sums of the trade: pure functions on plain numbers, the unit in every argument's name.

Imports nothing of ours; every room above it may import it.
"""

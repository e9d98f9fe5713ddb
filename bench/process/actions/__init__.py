"""What may be done to a part now: the rules in the way of beginning, tests, lots, corrections.

Imports ahead, safety, stock and what lies below.
"""

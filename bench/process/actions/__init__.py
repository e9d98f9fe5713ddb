"""What may be done to a part now: rules against beginning, next action, tests, lots, corrections.

Imports ahead, safety, stock and what lies below them; never attention.
"""

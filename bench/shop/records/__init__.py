"""One part whole, for its job record: the values, and gathering them.

Writes nothing; the room records makes pages of it.
"""

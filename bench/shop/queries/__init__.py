"""What is only looked up: the log, a part among all that ever stood here, the look-ahead.

Writes nothing. Imports core.
"""

"""The log: entries with every row before and after, their checksums, and the check of both.

Written in the same transaction as the state.
"""

"""The tables, and the migrations that lead an older shop to them.

A migration is understood by both databases.
"""

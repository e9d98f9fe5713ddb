"""The tables, and the migrations that bring an older shop's data to them.

Imports log alone. A migration runs on both databases. Shop may import ``tables``.
"""

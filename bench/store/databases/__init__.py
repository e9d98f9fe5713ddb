"""The two databases behind one store: SQLite and PostgreSQL, their locks, turns and faults.

What differs between them is here and nowhere else.
"""

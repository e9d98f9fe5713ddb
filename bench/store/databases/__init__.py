"""The two databases behind one store: SQLite and PostgreSQL, their locks, turns and faults.

What differs between the two is here and nowhere else. Imports schema, log and, for copies made
before a migration, copies. Shop imports ``database`` and ``faults``; its closet data also looks at
the file itself (``sqlite``, ``write_ahead_log``).
"""

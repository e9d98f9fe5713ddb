"""What painters do to a part: place, begin, finish, test, hold, rework, split, hand it over.

One function an action. Imports core, stock and people, and single functions of clock,
corrections and queries. Screens and commands import all but ``soak_flags``.
"""

"""What painters do to a part: place it, begin, finish, test, hold, rework, split, hand to somebody.

One function an action. Imports core, stock and people.
"""

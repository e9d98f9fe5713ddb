"""What painters do: one function an action, one transaction, rows and log written together.

Imports process, store and what lies below them; no SQL and no terminal. Closets build on ``core``.
What screens and commands may not import is named in the import contract (pyproject.toml).
"""

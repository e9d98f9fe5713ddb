"""Questions to a painter: choose, type a number or a line, a PIN, how much earlier, override.

Imports core.
"""

"""Painters: their PINs and training, the end of a shift.

Imports core.
"""

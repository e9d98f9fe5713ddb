"""Painters: their PINs and training, the end of a shift.

Imports core, and for the end of a shift parts and queries. Screens and commands import all but
``wrong_pins``, which ``core.transaction`` asks where an action is signed.
"""

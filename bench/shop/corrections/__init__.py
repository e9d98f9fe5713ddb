"""Facts that can be corrected later (``fact_table.FACTS``), correcting one, and undo.

Imports core and the closets whose facts it corrects. ``correction_effects`` is for actions of
shop, not for screens and commands.
"""

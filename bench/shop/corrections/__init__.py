"""Facts that can be corrected later (``fact_table.FACTS``), correcting one, and undo.

Imports core and the actions whose facts it corrects.
"""

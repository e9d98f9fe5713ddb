"""The shop: settings, holidays, data sheets, painters, equipment, the air and what is to come.

Imports dialogs and core.
"""

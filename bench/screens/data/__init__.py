"""The data: backups, no data, the first start, CLOCK WRONG.

Imports dialogs and core.
"""

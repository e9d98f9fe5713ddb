"""Flows of one part: begin, place, hand over, correct; its record, the log, finding it again.

Imports dialogs and core.
"""

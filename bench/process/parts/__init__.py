"""A part or lot as plain values: its steps so far, its zinc, film thickness, notes, log entries.

Imports sheets and what lies below; knows no hour of the day.
"""

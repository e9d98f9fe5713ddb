"""A part or lot as plain values: its steps so far, its zinc, film thickness, notes, log entries.

Imports sheets and what lies below it; knows no temperature and no clock.
"""

"""What comes: both ends of a window before its coat, the night, hours while the shop is closed.

Imports clocks and what lies below.
"""

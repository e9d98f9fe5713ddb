"""What is to come: both ends of a window before it is begun, the night, hours while the shop is closed.

Imports clocks and what lies below.
"""

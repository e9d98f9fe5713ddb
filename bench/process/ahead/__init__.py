"""What is to come: both ends of a window before its coat, cold nights, hours with the shop closed.

Imports clocks and what lies below it; not safety or stock.
"""

"""What can hurt a person at a step, what to wear, and whether masks are on in the room.

Imports clocks and what lies below it; not ahead or stock.
"""

"""What can hurt a person, what to wear, and whether masks are on in the room.

Imports clocks and what lies below.
"""

"""What is to come: both ends of a window before it is begun, the night, hours with nobody in.

Imports clocks and what lies below.
"""

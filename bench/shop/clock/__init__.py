"""What time it is in the shop: faults of the computer's clock, and moving the clocks that run.

Only ``timekeeping`` asks the computer's clock. Screens and commands import ``timekeeping`` and
``clock_fault``; ``clock_step`` moves rows and is for shop alone.
"""

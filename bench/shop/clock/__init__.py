"""What time it is in the shop, faults of the computer's clock, moving the running clocks.

Only timekeeping asks the computer's clock what time it is.
"""

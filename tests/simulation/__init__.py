"""What painters might do in years of work, drawn at random and held to the house rules."""

LONG = False
"""Whether the simulations run at their full size, by the option --long; how long that takes is said
in each file. tests/conftest.py sets it before they are read, in ``tests.simulation`` by that name."""

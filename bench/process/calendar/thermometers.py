"""What a thermometer of the shop can say. It imports nothing: the command line starts with it."""

COLDEST_READING_C, WARMEST_READING_C = -30.0, 50.0
"""Outside these a thermometer was misread or the sun was on it (common practice, no source)."""

"""The sums of the trade: pure functions on plain numbers, the unit in every argument's name."""

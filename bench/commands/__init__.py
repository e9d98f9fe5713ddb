"""The command line: a thin shell over shop and the sums of the trade."""

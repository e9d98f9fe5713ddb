"""What is timed. Each figure is a ratio against a floor measured beside it in the same run."""

"""paintbench: a full-screen terminal program for the paint bench of a small workshop."""

__version__ = "0.1.0"

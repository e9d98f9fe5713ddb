"""Worked examples: a sentence of the trade each, done on a real shop and checked to the minute."""

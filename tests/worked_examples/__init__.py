"""Worked examples: a sentence of the trade each, done on a real shop and checked to the minute.

The tables beside them are values that no named source prints: computed, derived, remembered, or
from a page that is not named. ``tests.published.rows`` reads them.
"""

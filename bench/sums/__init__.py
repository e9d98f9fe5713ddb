"""The one table of calculations: what each asks, works out, shows and warns of.

``table.CALCULATIONS`` is the whole of it. The command line (``commands/sums``) and the screens
(``screens/sums``) only render it: no other place words, ranges or rounds a calculation.
"""

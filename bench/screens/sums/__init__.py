"""The sums of the trade by keypad: a list of groups, then the numbers, then the answer.

The screens render the table of ``bench/sums``: what is asked, its ranges, the figures and their
rounding are all there. Here stands how an input is asked for, and what the shop knows of it.
"""

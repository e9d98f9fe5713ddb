"""The sums of the trade by keypad: a list of groups, then the numbers, then the answer.

One module a group. A sum is a road (see ``road.py``): it asks, and ends in what is told. The lists,
the questions, the answers and the tests all come from the table in ``table.py``.
"""

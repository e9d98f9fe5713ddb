"""Questions asked of the tables, by subject: bench, history, tins, people.

Reads only; plain selects that both databases understand.
"""

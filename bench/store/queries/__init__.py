"""What is asked of the tables, by subject: bench, history, tins, people.

Reads only, with plain selects that both databases understand. Imports schema and log. Shop imports
all of it.
"""

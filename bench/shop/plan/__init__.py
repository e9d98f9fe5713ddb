"""The plan of the bench: what it is made from, the process that makes it, the one that is agreed.

Imports core, queries, people and stock. Screens and commands import all of it.
"""

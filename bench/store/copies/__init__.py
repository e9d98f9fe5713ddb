"""Copies of the data: backup, restore, and the whole shop as one text, out and in.

Imports schema, log and databases. Shop's closet data alone imports it.
"""

"""Copies of the data: backup, restore, and the whole shop as one text, out and in.

Imports schema and log.
"""

"""The log: entries with every row before and after, their checksums, and the check of both.

An entry is written in the same transaction as the rows it is about. Imports schema and, for the
check, databases.
"""

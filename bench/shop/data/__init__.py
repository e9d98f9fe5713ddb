"""The data as a whole: opening it, its copies, restore, import, files for people.

Imports core and store.
"""

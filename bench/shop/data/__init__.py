"""The data as a whole: opening it, its copies, restore, import, files for people.

Imports core, the other closets it reads for a check, and store. Screens and commands import all
but ``import_check`` and ``backup_retention``.
"""

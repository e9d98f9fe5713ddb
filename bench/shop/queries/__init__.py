"""What is only looked up: the log, a part among all that ever stood here, the look-ahead.

Writes nothing. Imports core, stock and records. Screens, commands and records may
import all of it.
"""

"""How a command line is read, run and answered; the table of all commands.

Nothing heavy is imported before a command is known.
"""

"""The commands by subject: each entry with its options, help, target and examples.

A target is named by a string and imported when its command is run.
"""

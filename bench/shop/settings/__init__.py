"""The shop's settings: the one list of them, their values, changing them, what a kiosk may set.

``setting_list`` imports no more than its words need: the command line starts with it. Screens and
commands import all of it.
"""

"""The air and the room: readings, probes, forecasts, masks, the alarm's command.

Imports core and settings; the files of probes are read and the alarm's command is run only here.
Screens and commands import all but ``masks`` and ``reading_thinning``.
"""

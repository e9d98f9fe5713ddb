"""The air and the room: readings, probes, forecasts, masks, the alarm's command.

Imports core and settings. Only here are the files of probes read and the alarm's command run. Screens and commands import
all but ``masks`` and ``reading_thinning``; the air of the room is in the view of the bench.
"""

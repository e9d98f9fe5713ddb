"""The air and the room: readings, probes, forecasts, masks, the alarm's command.

Imports core; the files of probes and the alarm's command are met only here.
"""

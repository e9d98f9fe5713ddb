"""The one table of calculations: what each asks, works out, shows and warns of.

``table.CALCULATIONS`` is the whole of it; the command line and the screens only render it.
Imports trade, units, and of process its sheets and wording.
"""

"""Paint: mixing, pots, tins, what to buy.

Imports dialogs and core.
"""

"""Paint and things: mixes, tins, what to buy, what it cost, equipment that is shared.

Imports clocks and what lies below.
"""

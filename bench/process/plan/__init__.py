"""The plan: what has to be placed, in slots of five minutes; who places it, proves it, says why.

Imports ahead, clocks and what lies below them. Nothing there knows a shop, a clock or a screen.
"""

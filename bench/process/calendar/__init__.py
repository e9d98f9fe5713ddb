"""Days as the shop keeps them: its week, its holidays, the nights and days it forecasts.

Imports refusals, wording and trade.
"""

"""Days as the shop keeps them: its week, its holidays, the days and nights it forecasts.

Imports wording, refusals and trade.
"""

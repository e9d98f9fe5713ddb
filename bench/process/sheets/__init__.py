"""What is written down before any work: products' data sheets, routes and their steps, washes.

Imports refusals, wording, calendar and trade.
"""

"""What is written down before any work: products' data sheets, routes and their steps, washes.

Imports calendar, wording, refusals and trade.
"""

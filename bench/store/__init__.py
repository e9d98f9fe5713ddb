"""Tables, sessions, migrations and the log: the only room that knows SQL.

Imports nothing of the trade and no rule. Shop alone imports it: screens and commands reach the
data through shop.
"""

"""The shop's plan: what it is made from, the process that makes it, and how one is agreed.

Imports process/plan, and the shop's core and queries.
"""

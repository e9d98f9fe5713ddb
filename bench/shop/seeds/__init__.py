"""What a new shop starts with, as TOML: products, routes, tools, the demo; editing it.

Imports core.
"""

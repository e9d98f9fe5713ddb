"""What a new shop starts with, as TOML: products, routes, tools, the demo; editing it.

Imports core; the demo also the actions it lives through. Screens and commands import all but
``seed_values`` and ``toml_lines``.
"""

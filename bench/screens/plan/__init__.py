"""The plan on the screen: a day a page, planning again, agreeing, when and why.

Imports core, dialogs, stock and parts.
"""

"""The bench and one stand of it: near, far, a part's page, its spray card, the last action.

Imports dialogs, parts and core.
"""

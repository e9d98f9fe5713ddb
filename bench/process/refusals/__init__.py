"""What the bench answers when something may not be done: the refusal, rules by name, overrides.

Imports nothing of ours: every other closet of the rules may import it.
"""

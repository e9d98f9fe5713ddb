"""What the bench answers when something may not be done: refusal, rules by name, overrides.

Lowest of the rules: imports nothing of ours.
"""

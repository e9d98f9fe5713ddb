"""What people are told unasked: what to do next in order of harm, alarms, the hand-over.

Highest of the rules: only shop, records, screens and commands import it.
"""

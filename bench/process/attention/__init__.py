"""What the bench says without being asked: what to do next in order of harm, alarms, hand-over.

Imports every other closet of the rules; none of them imports it.
"""

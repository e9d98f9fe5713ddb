"""What all screens share: the base screen, keys, pages, help, and what watches beside them.

Imports widgets and shop; no screen of a subject.
"""

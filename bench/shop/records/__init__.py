"""One part whole, for its job record: its values (``job_record``) and gathering them.

Writes nothing. Imports core, clock and queries. The room records makes pages of it.
"""

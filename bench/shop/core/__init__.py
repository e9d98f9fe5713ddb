"""What every action stands in: its transaction, rows as plain values, the view of the bench.

Screens and commands import transaction, bench_view, conflicts and json_form only.
"""

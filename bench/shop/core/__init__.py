"""What every action needs: its transaction, rows as plain values, the view of the bench.

Other closets of shop import all of it. Screens and commands import ``transaction``,
``bench_view``, ``conflicts`` and ``json_form`` only.
"""

"""What painters do with paint: mix, top up, bin; tins that come, are opened, counted, traced.

One function an action. Imports core, queries and ``correction_effects``. Screens and commands may
import all of it.
"""

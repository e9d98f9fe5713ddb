"""The plan: its question, built from benches, held against the rules of the bench."""

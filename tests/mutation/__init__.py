"""Small sabotages of the code, and whether a test sees them: ``scripts/mutate``.

``mutants`` finds what can be changed in a file, ``covering`` which tests run over a line, ``trial``
runs them against one change, ``__main__`` samples, counts and prints.
"""

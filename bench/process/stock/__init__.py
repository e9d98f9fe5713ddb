"""Paint and equipment: mixes, tins, what to buy, what it cost, who holds which gun.

Imports clocks and what lies below it; not ahead or safety.
"""

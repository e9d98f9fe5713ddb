"""What is said where there is no plan, or no proof of one: once, for screen and commands."""

from __future__ import annotations

NO_REFEREE = (
    "not proven: ortools is not installed (pip install 'paintbench[plan]');"
    " this plan is the bench's own"
)
NO_HOURS = "no shop hours in the next {days} days: type them in set-up, then plan again"
BEYOND_HORIZON = "{tags}: no room within {days} days. Ask why, with a day"

"""The bench with a planner at work beside it all the time, in its session, as the plan's page has it.

python -m tests.benchmarks.with_planner QUESTION --db FILE
"""

from __future__ import annotations

import pickle
import sys
import threading
import time
from pathlib import Path

from bench.__main__ import main
from bench.shop.plan.planner_process import PlannerProcess, Question


def plan_for_ever(question: Question) -> None:
    """Plan again and again, once the screen is there: it is then the first process started here."""
    while not any(each.read_text() for each in Path("/proc/self/task").glob("*/children")):
        time.sleep(0.05)
    while True:
        for _ in PlannerProcess(question).wait():
            pass


if __name__ == "__main__":
    asked = pickle.loads(Path(sys.argv.pop(1)).read_bytes())
    threading.Thread(target=plan_for_ever, args=(asked,), daemon=True).start()
    sys.exit(main())

"""Jobs that may never end: each on a thread that nobody waits for."""

from __future__ import annotations

import threading
from collections.abc import Callable

Job = Callable[[], None]


def on_a_thread(job: Job) -> threading.Thread:
    """Start a job that may hang for good and does not keep the program from ending."""
    thread = threading.Thread(target=job, daemon=True)
    thread.start()
    return thread

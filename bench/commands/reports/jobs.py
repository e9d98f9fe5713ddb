"""The list of jobs, and the page of one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.core.plain_text import plain
from bench.commands.reports.printing import print_out
from bench.process.parts.job import promise_words
from bench.process.refusals.refusal import Refusal
from bench.records.forms import JOB_FORMS
from bench.shop.queries.jobs import JobLine, JobList, jobs
from bench.shop.records.job_page import job_page


def jobs_list(call: Call) -> Report:
    """Report the jobs, the most urgent first."""
    found = jobs(call.shop, everything=call.args.everything)
    return Report({"jobs": [_data(line) for line in found.lines]}, _lines(found))


def page(call: Call) -> Refusal | None:
    """Write the page of a job, in one of its forms."""
    args = call.args
    found = job_page(call.shop, args.name, without_names=args.without_names)
    if isinstance(found, Refusal):
        return found
    return print_out(call, lambda form, paper: JOB_FORMS[form](found, paper))


def _lines(found: JobList) -> Iterator[str]:
    if not found.lines:
        yield "no jobs: paintbench job --help"
    for line in found.lines:
        whose = f" ({plain(line.job.owner)})" if line.job.owner else ""
        late = "LATE  " if line.slack is not None and line.slack.is_late else ""
        yield f"{late}{plain(line.job.name)}{whose}, priority {line.job.priority}"
        yield f"      {line.progress.words}, {line.here} on the bench; {state_words(line)}"


def state_words(line: JobLine) -> str:
    """Say what is promised of a job, and how it stands to that."""
    if line.slack is None:
        return "; ".join(filter(None, ("nothing promised", line.words)))
    return f"promised {promise_words(line.job)}: {line.words}"


def _data(line: JobLine) -> dict[str, Any]:
    job, slack, progress, by_plan = line.job, line.slack, line.progress, line.by_plan
    return {
        "job": job.name,
        "owner": job.owner or None,
        "order_number": job.order_number or None,
        "priority": job.priority,
        "steps_behind": progress.steps,
        "steps": progress.of_steps,
        "parts_finished": progress.parts,
        "parts": progress.of_parts,
        "parts_here": line.here,
        "promised": str(job.promised) if job.promised else None,
        "promise": job.promise if job.promised else None,
        "days_left": slack.days if slack else None,
        "late": slack.is_late if slack else None,
        "ready_by_plan": str(by_plan.ready) if by_plan and by_plan.ready else None,
        "shop_days_to_spare": by_plan.days if by_plan else None,
    }

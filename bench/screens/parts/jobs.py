"""The jobs by keypad: the list, the page of one, a promise."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from bench.process.parts.job import PROMISE_WORDS
from bench.process.refusals.refusal import Refusal
from bench.records.blocks import Page
from bench.records.forms import write_job_files
from bench.records.job_page import job_blocks
from bench.screens.core.keys import KeyWord, Method
from bench.screens.core.pages import PagedScreen
from bench.screens.dialogs.choices import date_questions
from bench.screens.dialogs.questions import ask_whole, choose, show
from bench.screens.parts.record_pages import WrittenPage
from bench.shop.parts.jobs import promise_job
from bench.shop.queries.jobs import jobs
from bench.shop.records.job_page import JobPage, job_page

if TYPE_CHECKING:
    from bench.app import Paintbench

NOTES = (
    "A job is what parts name, or what was opened by: paintbench job NAME",
    "Those whose parts have all left are in: paintbench jobs --all",
)


async def list_jobs(bench: Paintbench) -> None:
    """Show the jobs, the most urgent first; one that is chosen opens its page."""
    lines = jobs(bench.shop).lines
    if not lines:
        bench.tell(Refusal("there is no job", "", "place a part with --job, or: paintbench job"))
        return
    named = []
    for entry in lines:
        state = f"; {entry.slack.words}" if entry.slack is not None else ""
        named.append((f"{entry.job.name}: {entry.progress.words}{state}", entry.job.name))
    name = await choose(bench, "Jobs, the most urgent first", named, NOTES)
    if name is not None:
        await show(bench, JobScreen(name))


class JobScreen(WrittenPage):
    """One job: its parts, promise, hours, paint, cost and deviations."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.job_name = name
        self._page: JobPage | Refusal | None = None

    @property
    def job(self) -> JobPage | Refusal:
        """As it was when the page was opened, or something was promised here."""
        if self._page is None:
            self._page = job_page(self.bench.shop, self.job_name)
        return self._page

    def named(self) -> str:
        """Name the job."""
        return f"Job {self.job_name}"

    def written(self) -> Page | Refusal:
        """Its whole page."""
        return self.job if isinstance(self.job, Refusal) else job_blocks(self.job)

    def idle(self) -> set[Method]:
        """Files only where somebody can fetch them."""
        return super().idle() | ({JobScreen.write} if self.bench.kiosk else set())

    async def promise(self) -> None:
        """Promise it for a day: to collect, or cured."""
        title = f"Job {self.job_name}: promised"
        cured = await choose(bench := self.bench, title, _PROMISES)
        if cured is None:
            return
        figures = date_questions(bench.now(), "day", "month", "year")
        typed = await ask_whole(bench, f"{title} for the day", figures)
        if typed is None:
            return
        try:
            day = date(typed[2], typed[1], typed[0])
        except ValueError:
            self.tell(Refusal("no such day", f"{typed[0]}.{typed[1]}.{typed[2]}", "type it again"))
            return
        bench.do(promise_job, bench.painter, job=self.job_name, day=day, cured=cured)
        self._page = None

    def write(self) -> None:
        """Every form of it into the folder beside the data."""
        page = self.job
        if not self.bench.kiosk and isinstance(page, JobPage):
            paper = self.bench.view.house.paper
            self.write_files(
                lambda folder, protected: write_job_files(folder, page, protected, paper)
            )

    KEYS = (
        KeyWord(("1",), "1", "promise", promise),
        KeyWord(("2",), "2", "its files", write),
        KeyWord(("9", "enter"), "9", "more", PagedScreen.turn),
        KeyWord(("-",), "-", "page before", PagedScreen.turn_back),
        KeyWord(("/",), "/", "back", PagedScreen.back),
        KeyWord(("0",), "0", "home", PagedScreen.home),
    )


_PROMISES = {words: promise == "cured" for promise, words in PROMISE_WORDS.items()}

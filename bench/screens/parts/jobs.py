"""The jobs by keypad: the list, the page of one, a promise."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.process.parts.job import PROMISE_WORDS, JobChanges
from bench.process.refusals.refusal import Refusal
from bench.process.wording.text_rules import clean_name
from bench.records.blocks import Page
from bench.records.forms import write_job_files
from bench.records.job_page import job_blocks
from bench.screens.core.keys import KeyWord, Method
from bench.screens.core.pages import PagedScreen
from bench.screens.dialogs.days import ask_day
from bench.screens.dialogs.questions import ask_text, choose, choose_text, show
from bench.screens.parts.record_pages import WrittenPage
from bench.shop.core.transaction import Outcome
from bench.shop.parts.jobs import promise_job, record_job, rename_job
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
        state = f"; {entry.words}" if entry.words else ""
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

    def source(self) -> JobPage | Refusal:
        """What is known of the job."""
        return self.job

    def written(self) -> Page | Refusal:
        """Its whole page."""
        return self.job if isinstance(self.job, Refusal) else job_blocks(self.job)

    def idle(self) -> set[Method]:
        """Files only where somebody can fetch them, photos only where there are some."""
        idle = super().idle() | ({JobScreen.write} if self.bench.kiosk else set())
        return idle if self._photos() else idle | {JobScreen.take_photo_out}

    def _photos(self) -> list[str]:
        page = self.job
        return [photo.name for photo in page.job.photos] if isinstance(page, JobPage) else []

    async def promise(self) -> None:
        """Promise it for a day: to collect, or cured."""
        title = f"Job {self.job_name}: promised"
        cured = await choose(bench := self.bench, title, _PROMISES)
        if cured is None:
            return
        day = await ask_day(bench, f"{title} for the day")
        if day is None:
            return
        bench.do(promise_job, bench.painter, job=self.job_name, day=day, cured=cured)
        self._page = None

    async def rename(self) -> None:
        """Ask for another name, on a keyboard."""
        title = f"Job {self.job_name}: its new name"
        notes = ["Its parts bear it too, those that left as well."]
        new = await ask_text(self.bench, title, self.job_name, notes)
        if new is None or not new.strip():
            return
        answer = self.bench.do(rename_job, self.bench.painter, self.job_name, new)
        if isinstance(answer, Outcome):
            self.job_name, self._page = str(clean_name(new, "its name")), None

    async def take_photo_out(self) -> None:
        """Take a photo's name and hash out of it; the file stays where it is."""
        if not (photos := self._photos()):
            return
        name = await choose_text(self.bench, f"Job {self.job_name}: take which photo out?", photos)
        if name is not None:
            changes = JobChanges(without_photos=(name,))
            self.bench.do(record_job, self.bench.painter, self.job_name, changes)
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
        KeyWord(("3",), "3", "rename", rename),
        KeyWord(("4",), "4", "take a photo out", take_photo_out),
        KeyWord(("9", "enter"), "9", "more", PagedScreen.turn),
        KeyWord(("-",), "-", "page before", PagedScreen.turn_back),
        KeyWord(("/",), "/", "back", PagedScreen.back),
        KeyWord(("0",), "0", "home", PagedScreen.home),
    )


_PROMISES = {words: promise == "cured" for promise, words in PROMISE_WORDS.items()}

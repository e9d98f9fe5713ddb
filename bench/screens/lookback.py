"""What was, and what is ahead: a part among all, the journal, a calendar for the phone."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from bench.process.refusal import Refusal
from bench.records.as_ical import ical
from bench.records.forms import write_file
from bench.screens import flows
from bench.screens.ask import Choose
from bench.screens.find import FindPart
from bench.screens.journal import JournalPage
from bench.settings import sheets_folder
from bench.shop.acting import Done
from bench.shop.ahead import ringing
from bench.shop.data import data_file
from bench.shop.files import Kept

if TYPE_CHECKING:
    from bench.app import Paintbench

CALENDAR = "a calendar for the phone: opens, shuts, bin by"


async def look_back(bench: Paintbench) -> None:
    """One of them. A kiosk writes no files: nobody could fetch them."""
    choices = [
        "find a part, on the bench or long gone",
        "the journal: look back, undo, correct",
        *([] if bench.kiosk else [CALENDAR]),
    ]
    which = await bench.push_screen_wait(Choose("Find a part, the journal", choices))
    if which == 0:
        await flows.show(bench, FindPart())
    elif which == 1:
        await flows.show(bench, JournalPage())
    elif which == 2:
        write_calendar(bench)


def write_calendar(bench: Paintbench) -> None:
    """What is ahead, into the folder beside the data."""
    found = ringing(bench.shop)
    if isinstance(found, Refusal):
        bench.tell(found)
        return
    data = data_file(bench.shop)
    file = sheets_folder(data, os.environ) / "bench.ics"
    refused = write_file(file, ical(found), Kept(data, bench.view.house.second_place))
    bench.tell(refused or Done(f"{len(found.rings)} hours written into {file}"))

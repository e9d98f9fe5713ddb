"""The words that look back: sheets, calendars, looking a part up, correcting a fact."""

from __future__ import annotations

import argparse

from bench.commands import quantities
from bench.commands.options import (
    BY,
    JSON,
    Adder,
    Words,
    maybe_on_part,
    on_part,
    option,
)

FORM_NAMES = ("text", "md", "html", "csv", "readings", "json", "care", "care-html", "label")
"""The forms of ``bench.records.forms``, which is too heavy to import for --help."""


def _facts_to_correct(parser: argparse.ArgumentParser) -> None:
    """The options of ``correct``: the table of facts is too heavy to import for all of --help."""
    from bench.commands.correcting import add_options

    add_options(parser)


def _last(what: str, told: str) -> Adder:
    """How many, fifty where nothing is said."""
    return option("--last", metavar="N", default=50, type=quantities.whole(what), help=told)


def _line(told: str) -> Adder:
    """A line of the journal."""
    return option("--line", metavar="N", type=quantities.whole("a line's number"), help=told)


OUT = option("-o", "--out", metavar="FILE", help="write it into a file; else on the terminal")
FORCE = option(
    "--force",
    action="store_true",
    help="also over a file that is no earlier one; never over the data or a backup",
)

DAYS = (
    option("--from", dest="since", metavar="DAY", type=quantities.day, help="2019-05-12 or later"),
    option("--to", dest="until", metavar="DAY", type=quantities.day, help="that day or earlier"),
)

RECORDS: Words = {
    "sheet": (
        "the whole record of a part, also long after it has left the bench",
        (
            on_part,
            option(
                "--form",
                choices=FORM_NAMES,
                default="text",
                help="text; md: Markdown; html: to print; csv: its coats; readings: the air as "
                "CSV; json; care and care-html: the owner's page; label",
            ),
            JSON,
            OUT,
            FORCE,
        ),
    ),
    "find": (
        "look a part up by tag, job, owner, name or date, on the bench or long gone",
        (
            option(
                "words",
                metavar="WORDS",
                nargs="*",
                help="each somewhere in tag, job, owner or name; 2019, 2019-05 or 12.5.2019: "
                "something was begun on it then",
            ),
            option("--job", metavar="J", default="", help="in the job alone"),
            option("--owner", metavar="O", default="", help="in the owner alone"),
            *DAYS,
            _last("a number of parts", "how many, the newest first"),
            JSON,
        ),
    ),
    "journal": (
        "show what was done, newest first",
        (
            _last("a number of lines", "how many lines"),
            option("--tag", metavar="T", default="", help="of one part"),
            *DAYS,
            JSON,
        ),
    ),
    "undo": (
        "undo the last thing done, by anyone; or one of the last ten minutes that nothing hangs on",
        (
            _line("its number in the journal; else the last"),
            BY,
        ),
    ),
    "correct": (
        "correct an older fact; the old one, who changed it and why stay in the journal",
        (_facts_to_correct,),
    ),
    "calendar": (
        "what opens, what closes and which pots to bin as iCalendar, so that a phone rings",
        (maybe_on_part, JSON, OUT, FORCE),
    ),
}
"""Every command word that looks back: what it does, and what it takes."""

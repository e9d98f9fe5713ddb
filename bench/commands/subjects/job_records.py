"""Job records and the log: written out, looked up, undone, corrected."""

from __future__ import annotations

import argparse

from bench.commands.core import quantities
from bench.commands.core.command import Command, Group
from bench.commands.core.options import (
    DAYS,
    INTO_FILE,
    ON_PAPER,
    Adder,
    maybe_on_part,
    on_part,
    option,
)

FORM_NAMES = (
    *("text", "md", "html", "csv", "readings", "measured", "json", "care", "care-html"),
    *("label", "label-html", "label-svg", "label-zpl"),
)
"""The forms of ``bench.records.forms``, which is too heavy to import for --help."""

PDF_NAMES = ("pdf", "care-pdf", "label-pdf")
"""Those that are made of a printed form."""


def _facts_to_correct(parser: argparse.ArgumentParser) -> None:
    """Add the options of ``correct``: the table of facts is too heavy for all of --help."""
    from bench.commands.subjects.corrections import add_options

    add_options(parser)


def _last(what: str, help_words: str) -> Adder:
    """Return how many, fifty where nothing is said."""
    return option("--last", metavar="N", default=50, type=quantities.whole(what), help=help_words)


# A table: laid out by hand.
# fmt: off
RECORDS = Group("job records and log", (
    Command(
        "sheet", "the job record of a part, also years after it left the bench",
        (on_part,
         option("--form", choices=(*FORM_NAMES, *PDF_NAMES), default="text",
                help="text; md: Markdown; html: to print; csv: its coats; readings: the air as "
                "CSV; measured: film, zinc, salts and the rest as CSV; json; care and care-html: "
                "the owner's page; label: to write by hand; label-html, label-svg, label-zpl: with "
                "a QR code of the tag, to print; pdf, care-pdf, label-pdf: what html prints, "
                "with the extra paintbench[pdf]"),
         option("--spreadsheet", action="store_true",
                help="CSV with semicolons, decimal commas and a byte-order mark"),
         *ON_PAPER),
        "bench.commands.reports.records:sheet", "reads",
        ("sheet 1", "sheet --tag 7 --form html -o tag-7.html",
         "sheet --tag 7 --form html --paper letter -o tag-7.html",
         "sheet --tag 7 --form csv --spreadsheet -o coats.csv",
         "sheet --tag 7 --form label-svg -o tag-7.svg",
         "sheet --tag 7 --form care-html -o care.html")),
    Command(
        "find", "find a part by tag, job, owner, name or date, here or long gone",
        (option("words", metavar="WORDS", nargs="*",
                help="each somewhere in tag, job, owner or name; 2019, 2019-05 or 12.5.2019: "
                "something was started on it then"),
         option("--job", metavar="J", default="", help="in the job alone"),
         option("--owner", metavar="O", default="", help="in the owner alone"),
         *DAYS, _last("a number of parts", "how many, the newest first")),
        "bench.commands.reports.records:find", "reads",
        ("find rowing 2026-11", "find --owner club --last 5")),
    Command(
        "calendar", "openings, closings and pots to bin as iCalendar, for a phone",
        (maybe_on_part, *INTO_FILE),
        "bench.commands.reports.records:calendar", "reads",
        ("calendar -o bench.ics", "calendar --tag 4 -o tag-4.ics")),
    Command(
        "journal", "show the log, newest first",
        (_last("a number of lines", "how many lines"),
         option("--tag", metavar="T", default="", help="of one part"), *DAYS),
        "bench.commands.reports.lists:journal", "reads",
        ("journal", "journal --tag 7 --last 20", "journal --from 2026-03-12 --json")),
    Command(
        "undo", "undo the last action, by anyone; or one of the last ten minutes",
        (option("--line", metavar="N", type=quantities.whole("a line's number"),
                help="its number in the log, where no later entry depends on it; else the last"),),
        "bench.commands.subjects.corrections:take_back",
        examples=("undo --by Una", "undo --line 812 --by Una")),
    Command(
        "correct", "correct an older fact; the log keeps the old one, who, and why",
        (_facts_to_correct,),
        "bench.commands.subjects.corrections:correct",
        examples=('correct hour 1 --step 5 --edge first --at "2026-03-12 08:20" '
                  '--reason "pressed late" --by Una',
                  'correct part --tag 7 --owner "Harbour club" --reason mistyped --by Una')),
))
# fmt: on

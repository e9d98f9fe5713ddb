"""The words that look back: sheets, calendars, looking a part up, putting a fact right."""

from __future__ import annotations

from bench.commands import quantities
from bench.commands.options import (
    BY,
    JSON,
    METAL,
    RH,
    STEP_NUMBER,
    Adder,
    Words,
    air,
    belongs,
    maybe_on_part,
    on_part,
    option,
    reason,
)

FORM_NAMES = ("text", "md", "html", "csv", "readings", "json", "care", "care-html", "label")
"""The forms of ``bench.records.forms``, which is too heavy to import for --help."""


CORRECTED = (
    *("hour", "mark", "test", "who", "part", "reading", "pot", "mixed"),
    *("skip", "defect", "from"),
)
"""What ``paintbench correct`` puts right."""


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
        "put an older fact right; the old one, who changed it and why stay in the journal",
        (
            option(
                "what",
                metavar="WHAT",
                choices=CORRECTED,
                help="hour: of a step's first or last face; mark: when one face was ticked, or a "
                "zone wetted or rinsed; test: when it was tested; who: did a step; part: what it "
                "is called; reading: its figures; pot: what was poured; mixed: when it was mixed; "
                "skip: why a step was left out; defect: what was wrong; from: which pot a coat "
                "came from",
            ),
            maybe_on_part,
            reason("why it was wrong"),
            _line("of a reading or a pot: the number of its line in the journal"),
            option(
                "--step",
                metavar="N",
                type=STEP_NUMBER,
                help="of an hour, or who: the step's number on the sheet",
            ),
            option(
                "--edge",
                choices=("first", "last"),
                help="of an hour: first or last face; of a mark: wetted, or ticked or rinsed",
            ),
            option("--mark", metavar="NAME", help="of a mark: the face or zone"),
            option(
                "--test",
                metavar="N",
                type=quantities.whole("a test's number"),
                help="which of the step's tests, from 1; else the last",
            ),
            option(
                "--at",
                metavar="TIME",
                type=quantities.day_and_hour,
                help='the right hour, in the shop\'s zone: "2026-03-12 14:30"',
            ),
            option("--painters", metavar="NAMES", type=quantities.names, help='"Ada,Ben"'),
            option("--new-tag", metavar="T", help="what its disc really says"),
            option("--substrate", metavar="S", help="what it is made of"),
            option("--text", metavar="TEXT", help="of a skip or a defect: what it really was"),
            option(
                "--defect",
                metavar="N",
                type=quantities.whole("a defect's number"),
                help="which one, from 1; else the last",
            ),
            option("--name", metavar="N", help="what it is called"),
            *belongs(),
            option("--count", metavar="N", type=quantities.whole("a count"), help="pieces"),
            air(),
            RH,
            METAL,
            option("--not-read", action="append", choices=("humidity", "metal"), default=[]),
            option(
                "--pour",
                metavar="N=AMOUNT",
                action="append",
                default=[],
                type=quantities.pour,
                help="the first pour was really 420 ml: 1=420ml",
            ),
            BY,
        ),
    ),
    "calendar": (
        "what opens, what closes and which pots to bin as iCalendar, so that a phone rings",
        (maybe_on_part, JSON, OUT, FORCE),
    ),
}
"""Every command word that looks back: what it does, and what it takes."""

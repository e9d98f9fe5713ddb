"""The words that look back: sheets, calendars, looking a part up, putting a fact right."""

from __future__ import annotations

from bench.commands.options import JSON, Adder, on_part, option

FORM_NAMES = ("text", "md", "html", "csv", "readings", "json", "care", "care-html", "label")
"""The forms of ``bench.records.forms``, which is too heavy to import for --help."""

OUT = option("-o", "--out", metavar="FILE", help="write it into a file; else on the terminal")

RECORDS: dict[str, tuple[str, tuple[Adder, ...]]] = {
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
        ),
    ),
}
"""Every command word that looks back: what it does, and what it takes."""

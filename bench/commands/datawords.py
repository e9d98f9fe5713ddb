"""The words for the shop's data as a whole: checked, backed up, put back, taken elsewhere."""

from __future__ import annotations

from bench.commands.options import JSON, Words, option

DATA: Words = {
    "check": ("check that the data is whole", (JSON,)),
    "backup": (
        "make a backup now, while the bench is in use",
        (
            option(
                "to",
                metavar="TO",
                nargs="?",
                default="",
                help="a folder or a new file; else beside the data and in the second place",
            ),
        ),
    ),
    "backups": ("list the backups, and what each would leave out", (JSON,)),
    "restore": (
        "put a backup in the place of the data, which is kept under another name",
        (
            option("file", metavar="FILE", help="see: paintbench backups"),
            option("--yes", action="store_true", help="although lines would be missing"),
        ),
    ),
    "export": (
        "write the whole shop, journal and all, as one JSON text",
        (option("file", metavar="FILE", help="a new file, or - for the standard output"),),
    ),
    "import": (
        "bring an export into a place where there is no shop yet",
        (option("file", metavar="FILE", help="an export, or - for the standard input"),),
    ),
}
"""Every command word about the data: what it does, and what it takes."""

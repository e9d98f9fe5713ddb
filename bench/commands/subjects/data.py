"""The shop's data as a whole: opened, checked, backed up, restored, taken elsewhere."""

from __future__ import annotations

from bench.commands.core import quantities
from bench.commands.core.command import Command, Group
from bench.commands.core.options import JSON, option

DAMAGED_TOO = option(
    "--damaged-too", action="store_true", help="also where an entry of its log is damaged"
)

SCHEMAS = {
    "sheet": "a job record: paintbench sheet --form json",
    "plan": "a plan: paintbench plan show --form json",
    "export": "the whole shop: paintbench export",
    "product": "a product's file, its TOML read into JSON",
    "route": "a route's file, its TOML read into JSON",
}
"""The files that have a JSON Schema; each is called as the command that writes it."""

# A table: laid out by hand.
# fmt: off
DATA = Group("the data", (
    Command(
        "demo", "look at the demo shop; with --db, write it into a new file",
        (option("--at", metavar="TIME", type=quantities.demo_hour,
                help="when its clock starts: 'Mon 10:00', 10:00, 2026-03-16T10:00"),),
        "bench.commands.subjects.data_actions:demo", "places",
        ("demo", "demo --at 'Mon 10:00'", "demo --db demo.db")),
    Command(
        "open", "open a new shop",
        (option("--painters", metavar="NAMES", required=True, type=quantities.names,
                help='the painters: "Ada,Ben"'),
         option("--stands", metavar="N", required=True, type=quantities.whole("a number of stands"),
                help="how many stands there are")),
        "bench.commands.subjects.data_actions:open_new", "opens",
        ('open --painters "Ada,Ben" --stands 12',)),
    Command(
        "check", "check that the data is whole",
        target="bench.commands.reports.lists:check_data", kind="checks", examples=("check",)),
    Command(
        "backup", "make a backup now, while the bench is in use",
        (option("to", metavar="TO", nargs="?", default="",
                help="a folder or a new file; else beside the data and in the second place"),),
        "bench.commands.subjects.data_actions:backup", "copies", ("backup", "backup /media/stick")),
    Command(
        "backups", "list the backups, and what each leaves out", (JSON,),
        "bench.commands.subjects.data_actions:backups", "places", ("backups",)),
    Command(
        "restore", "replace the data by a backup; what was there is kept beside it",
        (option("file", metavar="FILE", help="see: paintbench backups"),
         option("--yes", action="store_true", help="restore even if newer entries are lost")),
        "bench.commands.subjects.data_actions:restore", "places",
        ("restore backups/shop-20260312T143000Z.db",)),
    Command(
        "keep-data", "go on with the data as it is, although a backup goes further",
        target="bench.commands.subjects.data_actions:keep_data", kind="copies",
        examples=("keep-data",)),
    Command(
        "export", "write the whole shop, log and all, as one JSON text",
        (option("file", metavar="FILE", help="a new file, or - for the standard output"),
         option("--without-names", action="store_true",
                help="painter 1, owner 1, job 1 in place of the names"),
         DAMAGED_TOO),
        "bench.commands.subjects.data_actions:export", "copies",
        ("export shop.json", "export --without-names for-others.json")),
    Command(
        "import", "bring an export into a place where there is no shop yet",
        (option("file", metavar="FILE", help="an export, or - for the standard input"),
         DAMAGED_TOO),
        "bench.commands.subjects.data_actions:bring_in", "places", ("--db NEW import shop.json",)),
    Command(
        "schema", "print the JSON Schema of our files; without a name, list them",
        (option("name", metavar="NAME", nargs="?", choices=tuple(SCHEMAS),
                help=f"one of {', '.join(SCHEMAS)}"),),
        "bench.commands.reports.schemas:schema", "explains", ("schema", "schema sheet")),
))
# fmt: on

"""Jobs: opened, changed, promised, listed."""

from __future__ import annotations

import argparse
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bench.commands.core import quantities
from bench.commands.core.command import Command, Group
from bench.commands.core.input_files import bytes_of
from bench.commands.core.options import COUNT, FILM, ON_PAPER, PRINTED, Adder, maybe_on_part, option
from bench.process.refusals.refusal import Refusal

if TYPE_CHECKING:
    from bench.commands.core.call import Call
    from bench.process.parts.job import Photo
    from bench.shop.core.transaction import Outcome

MOST_PHOTO_BYTES = 200_000_000

PRIORITY = option("--priority", metavar="N", type=quantities.whole("a priority"),
                  help="1 the most urgent, 2 or 3")  # fmt: skip


def coat_and_film(text: str) -> tuple[str, float | None]:
    """Read a coat of a system, with its dry film or without: ``primer=60um``."""
    name, equals, film = text.partition("=")
    if not name.strip():
        raise quantities.unreadable(text, "a coat and its dry film, such as primer=60um")
    return name, FILM(film.strip()) if equals else None


def job(call: Call, by: str) -> Outcome | Refusal:
    """Open a job, or change what is known of it."""
    from bench.process.parts.job import CoatFilm, JobChanges
    from bench.shop.parts.jobs import record_job, rename_job

    args = call.args
    if args.rename:
        return rename_job(call.shop, by, args.name, args.rename)
    photos: list[Photo] = []
    for file in args.photo:
        photo = _photo(file)
        if isinstance(photo, Refusal):
            return photo
        photos.append(photo)
    changes = JobChanges(
        owner=args.owner,
        order_number=args.order,
        received_on=args.received,
        condition=args.condition,
        galvanised_on=args.galvanised,
        priority=args.priority,
        coats=tuple(CoatFilm(*each) for each in args.coat) if args.coat else None,
        in_all_um=args.in_all,
        corrosivity=args.corrosivity,
        durability=args.durability,
        photos=tuple(photos),
        without_photos=tuple(args.without_photo),
    )
    return record_job(call.shop, by, args.name, changes)


def rename_fault(args: argparse.Namespace) -> str:
    """Say what does not go with another name."""
    if not args.rename:
        return ""
    facts = (
        *("owner", "order", "received", "condition", "galvanised", "priority", "coat", "in_all"),
        *("corrosivity", "durability", "photo", "without_photo", "page"),
    )
    other = next((name for name in facts if getattr(args, name)), "")
    return f"--{other.replace('_', '-')} does not go with --rename" if other else ""


def _photo(file: str) -> Photo | Refusal:
    """Name and hash a photo; it stays where it is."""
    from bench.process.parts.job import Photo

    content = bytes_of(file, MOST_PHOTO_BYTES)
    if isinstance(content, Refusal):
        return content
    if not content:
        return Refusal(f"{file[-80:]} is empty", "", "name the photo's file")
    return Photo(Path(file).name, sha256(content).hexdigest(), len(content))


class _Lot(argparse.Action):
    """Gathers the lots of a quote: each --route begins one, what follows it is of that lot."""

    def __call__(
        self,
        parser: argparse.ArgumentParser,
        namespace: argparse.Namespace,
        values: object,
        option_string: str | None = None,
    ) -> None:
        """Begin a lot, or add a fact to the last one."""
        lots = [dict(lot) for lot in getattr(namespace, "items", None) or ()]
        if self.const == "route":
            lots.append({"route": values, "shape": ""})
        elif not lots:
            parser.error(f"read {option_string} before --route; wanted --route first, for each lot")
        else:
            lots[-1][str(self.const)] = values
        namespace.items = lots


def _of_lot(flag: str, fact: str, **how: Any) -> Adder:
    return option(flag, dest="items", action=_Lot, const=fact, **how)


# A table: laid out by hand.
# fmt: off
JOBS = Group("jobs and quotes", (
    Command(
        "job", "open a job or change it: owner, order, system, photos",
        (option("name", metavar="NAME", help="as parts name it with --job; capitals do not matter"),
         option("--owner", metavar="O", help="whose it is"),
         option("--order", metavar="NUMBER", help="the order's number"),
         option("--received", metavar="DAY", type=quantities.day, help="the day it came"),
         option("--condition", metavar="TEXT", help="how it came: bent, rusty, oily"),
         option("--galvanised", metavar="DAY", type=quantities.day, help="the day, where known"),
         PRIORITY,
         option("--coat", metavar="COAT=DFT", action="append", default=[], type=coat_and_film,
                help="a coat of the system and its dry film: primer=60um; again for each"),
         option("--in-all", metavar="DFT", type=FILM, help="the dry film of all coats: 160um"),
         option("--corrosivity", metavar="C", help="as in ISO 12944-2: C1 to C5, CX, Im1 to Im4"),
         option("--durability", metavar="D",
                help="as in ISO 12944: low, medium, high or very high"),
         option("--photo", metavar="FILE", action="append", default=[],
                help="name and hash a photo; the file stays where it is; again for each"),
         option("--without-photo", metavar="NAME", action="append", default=[],
                help="take a photo out of it, by its name; again for each"),
         option("--rename", metavar="NAME", default="",
                help="call it this from now on, its parts too; nothing else with it"),
         option("--page", action="store_true",
                help="write the page of the job, and change nothing: parts, hours, paint, cost"),
         option("--form", choices=("text", "md", "html", "json", "pdf"), default="text",
                help="of the page: text; md: Markdown; html: to print; json; pdf: what html "
                "prints, with the extra paintbench[pdf]"),
         option("--without-names", action="store_true",
                help="on the page: painter 1, painter 2 for who worked"),
         *ON_PAPER),
        "bench.commands.subjects.jobs:job",
        examples=('job "Launching trolley" --order 2026-41 --coat "zinc primer=60um" '
                  "--coat gloss=50um --corrosivity C4 --durability high --by Una",
                  'job "Club gate" --owner "Rowing club" --received 2026-11-20 '
                  '--condition "white rust on the hinges" --priority 1 --by Bo',
                  'job "Launching trolley" --rename "Trolley 2026" --by Una',
                  'job "Launching trolley" --page',
                  'job "Launching trolley" --page --without-names --form html -o job.html'),
        reads_with=("page", "bench.commands.reports.jobs:page"), check=rename_fault),
    Command(
        "promise", "promise a job for a day: to collect, or cured",
        (option("job", metavar="JOB", help="its name"),
         option("day", metavar="DAY", type=quantities.day, help="2026-12-12"),
         option("--cured", action="store_true", help="fully cured by then, not only to collect"),
         PRIORITY),
        "bench.shop.parts.jobs:promise_job",
        examples=('promise "Launching trolley" 2026-12-12 --by Una',)),
    Command(
        "jobs", "list the jobs: how far, what is promised, what is late",
        (option("--all", dest="everything", action="store_true",
                help="also those whose parts have all left"),),
        "bench.commands.reports.jobs:jobs_list", "reads", ("jobs", "jobs --all --json")),
    Command(
        "quote", "what work to come would take: paint, tins, hours",
        (_of_lot("--route", "route", metavar="KEY", required=True,
                 help="begins a lot; again for each. See: paintbench routes"),
         _of_lot("--shape", "shape", metavar="KEY", help="of that lot; see: paintbench shapes"),
         _of_lot("--area", "area_m2", metavar="AREA", type=quantities.quantity("metre ** 2"),
                 help="of one piece: 7.5m2; else what is typical of its shape"),
         _of_lot("--count", "count", metavar="N", type=COUNT, help="pieces in the lot; else one"),
         option("--when", action="store_true",
                help="also the earliest day beside what is planned; it takes some seconds"),
         *PRINTED),
        "bench.commands.reports.quote:quote", "reads",
        ("quote --route zinc-new --shape frame --area 7.5m2",
         "quote --route zinc-new --shape frame --area 7.5m2 "
         "--route zinc-new --shape bracket --area 0.03m2 --count 40",
         "quote --route zinc-new --shape frame --form html -o quote.html")),
    Command(
        "durations", "how long steps take by this shop's log, and what paint coats took",
        (maybe_on_part,),
        "bench.commands.reports.durations:durations", "reads", ("durations", "durations 3")),
))
# fmt: on

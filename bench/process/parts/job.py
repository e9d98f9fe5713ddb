"""A job: an order that parts belong to by its name, what is promised of it, and how far it is."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Literal, get_args

from bench.process.parts.part import Part
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import format_number

Promise = Literal["collect", "cured"]
"""What is promised: to collect, past the times in which it dries, or cured."""

PROMISE_WORDS: dict[Promise, str] = {"collect": "to collect", "cured": "cured"}

CORROSIVITY = ("C1", "C2", "C3", "C4", "C5", "CX", "Im1", "Im2", "Im3", "Im4")
"""Corrosivity categories in the words of ISO 12944-2 (from memory)."""

DURABILITY = ("low", "medium", "high", "very high")
"""Durability in the words of ISO 12944-1, by which ISO 12944-5 lists systems (from memory)."""

PRIORITIES = (1, 2, 3)
MOST_FILM_UM = 5000.0
MOST_COATS = 12
MOST_PHOTOS = 200
FURTHEST_PROMISE = timedelta(days=5 * 366)
"""A promise beyond it is a slip of the fingers."""


@dataclass(frozen=True)
class Photo:
    """A photo that is kept elsewhere: its file's name, its SHA-256 in hex and its size in bytes."""

    name: str
    sha256: str
    size_bytes: int


@dataclass(frozen=True)
class CoatFilm:
    """A coat of a system. film_um: its nominal dry film in um, None where nobody typed it."""

    name: str
    film_um: float | None = None


@dataclass(frozen=True)
class PaintSystem:
    """What was agreed with the customer. in_all_um: the dry film of all coats together.

    corrosivity, durability: one of ``CORROSIVITY`` and ``DURABILITY`` as the shop typed it, or
    empty.
    """

    coats: tuple[CoatFilm, ...] = ()
    in_all_um: float | None = None
    corrosivity: str = ""
    durability: str = ""


@dataclass(frozen=True)
class Received:
    """How the pieces came: the day, their condition in words, and when they were galvanised."""

    on: date | None = None
    condition: str = ""
    galvanised_on: date | None = None


@dataclass(frozen=True)
class Job:
    """An order. promised: the day, None where nothing is promised; priority: 1 the most urgent."""

    name: str
    owner: str = ""
    order_number: str = ""
    received: Received = Received()
    promised: date | None = None
    promise: Promise = "collect"
    priority: int = 2
    system: PaintSystem = PaintSystem()
    photos: tuple[Photo, ...] = ()


# --- what cannot be so ---------------------------------------------------------------------------


def check_job(job: Job, today: date) -> Refusal | None:
    """Say what of a job cannot be so; None where all of it can. today: in the shop's zone."""
    if job.priority not in PRIORITIES:
        return Refusal(f"priority {job.priority}", "", "1 the most urgent, 2 or 3")
    return (
        _against_days(job, today)
        or _against_promise(job, today)
        or _against_system(job.system)
        or _against_photos(job.photos)
    )


def _against_days(job: Job, today: date) -> Refusal | None:
    received = job.received
    for day, what in ((received.on, "received"), (received.galvanised_on, "galvanised")):
        if day is not None and day > today:
            return Refusal(f"{what} on {day}", f"today is {today}", "type the day again")
    if received.on and received.galvanised_on and received.galvanised_on > received.on:
        read = f"it was received on {received.on}"
        return Refusal(f"galvanised on {received.galvanised_on}", read, "type the days again")
    return None


def _against_promise(job: Job, today: date) -> Refusal | None:
    if job.promise not in get_args(Promise):
        return Refusal(f"promised {job.promise[:20]}", "", "collect or cured")
    if job.promised is None:
        return None
    if job.received.on and job.promised < job.received.on:
        read = f"it was received on {job.received.on}"
        return Refusal(f"promised for {job.promised}", read, "type the day again")
    if job.promised - today > FURTHEST_PROMISE:
        return Refusal(f"promised for {job.promised}", "over 5 years ahead", "type the year again")
    return None


def _against_system(system: PaintSystem) -> Refusal | None:
    for word, words, what in (
        (system.corrosivity, CORROSIVITY, "corrosivity category"),
        (system.durability, DURABILITY, "durability"),
    ):
        if word and word not in words:
            return Refusal(f"no {what} '{word[:20]}'", "", f"one of {', '.join(words)}")
    if len(system.coats) > MOST_COATS:
        return Refusal(f"{len(system.coats)} coats", "", f"at most {MOST_COATS}")
    films = [coat.film_um for coat in system.coats]
    for film_um in (*films, system.in_all_um):
        if film_um is not None and not 0 < film_um <= MOST_FILM_UM:
            remedy = f"over 0, up to {MOST_FILM_UM:,.0f} um"
            return Refusal(f"a film of {film_um:g} um", "", remedy)
    known = [film_um for film_um in films if film_um is not None]
    total_um = sum(known)
    if system.in_all_um is None or not known:
        return None
    if total_um > system.in_all_um or (len(known) == len(films) and total_um != system.in_all_um):
        read = f"the coats come to {format_number(total_um, 4)} um"
        return Refusal(f"{format_number(system.in_all_um, 4)} um in all", read, "type either again")
    return None


def _against_photos(photos: Collection[Photo]) -> Refusal | None:
    if len(photos) > MOST_PHOTOS:
        return Refusal(f"{len(photos)} photos", "", f"at most {MOST_PHOTOS} to a job")
    hashes: dict[str, str] = {}
    names: set[str] = set()
    for photo in photos:
        if photo.sha256 in hashes:
            read = f"it is {hashes[photo.sha256]}"
            return Refusal(f"{photo.name} is attached already", read, "attach each photo once")
        if photo.name.casefold() in names:
            remedy = "give the file another name first"
            return Refusal(f"another photo is called {photo.name}", "", remedy)
        hashes[photo.sha256] = photo.name
        names.add(photo.name.casefold())
    return None


def no_photo(job: Job, names: Iterable[str]) -> Refusal | None:
    """Refuse to take out a photo that the job has not."""
    there = [photo.name for photo in job.photos]
    for name in names:
        if name.casefold() not in map(str.casefold, there):
            right = f"one of {', '.join(there)}" if there else "it has none"
            return Refusal(f"job {job.name} has no photo {name[:60]}", "", right)
    return None


# --- in words ------------------------------------------------------------------------------------


def job_words(job: Job, before: Job | None = None) -> tuple[str, ...]:
    """Say what is known of a job, or only what is not as it was before."""
    facts, old = dict(_facts(job)), dict(_facts(before)) if before is not None else {}
    words = [f"{label} {text}" for label, text in facts.items() if old.get(label) != text]
    return tuple(words + [f"{label} taken out" for label in old if label not in facts])


def _facts(job: Job) -> Iterator[tuple[str, str]]:
    received, system = job.received, job.system
    texts = {
        "owner": job.owner,
        "order number": job.order_number,
        "received": str(received.on or ""),
        "condition": received.condition,
        "galvanised": str(received.galvanised_on or ""),
        "promised": promise_words(job),
        "priority": str(job.priority),
        "coats": coats_words(system),
        "category": category_words(system),
        **{photo_words(photo): "attached" for photo in job.photos},
    }
    yield from ((label, text) for label, text in texts.items() if text)


def promise_words(job: Job) -> str:
    """Say what is promised for which day: "Sat 2026-12-12, to collect"; empty for nothing."""
    if job.promised is None:
        return ""
    return f"{job.promised:%a %Y-%m-%d}, {PROMISE_WORDS[job.promise]}"


def coats_words(system: PaintSystem) -> str:
    """Say the coats of a system with their dry film, and the film in all; empty for none.

    >>> coats_words(PaintSystem((CoatFilm("primer", 60), CoatFilm("gloss", 40))))
    'primer 60 um, gloss 40 um; 100 um in all'
    """
    coats = [
        coat.name + ("" if coat.film_um is None else f" {format_number(coat.film_um, 4)} um")
        for coat in system.coats
    ]
    total_um = film_in_all_um(system)
    in_all = [] if total_um is None else [f"{format_number(total_um, 4)} um in all"]
    return "; ".join([*([", ".join(coats)] if coats else []), *in_all])


def film_in_all_um(system: PaintSystem) -> float | None:
    """Give the dry film of all coats in um: as typed, or added up; None where one is not known."""
    films = [coat.film_um for coat in system.coats]
    if system.in_all_um is not None or not films or None in films:
        return system.in_all_um
    return sum(film_um for film_um in films if film_um is not None)


def category_words(system: PaintSystem) -> str:
    """Say corrosivity and durability, marked as what the shop typed; empty for neither."""
    durability = system.durability and f"durability {system.durability}"
    words = ", ".join(filter(None, (system.corrosivity, durability)))
    return f"{words} (ISO 12944 words, typed by the shop)" if words else ""


def photo_words(photo: Photo) -> str:
    """Name a photo with its size and the beginning of its SHA-256."""
    return f"photo {photo.name} ({photo.size_bytes} bytes, SHA-256 {photo.sha256[:12]}..)"


# --- how far it is -------------------------------------------------------------------------------


@dataclass(frozen=True)
class Progress:
    """How much of some parts is behind them. Skipped steps are; struck ones are not counted."""

    steps: int
    of_steps: int
    parts: int
    of_parts: int

    @property
    def words(self) -> str:
        """Say it: "14 of 30 steps, 1 of 3 parts"."""
        return f"{self.steps} of {self.of_steps} steps, {self.parts} of {self.of_parts} parts"


def progress_of(parts: Collection[Part]) -> Progress:
    """Count the steps of some parts, and the parts whose whole route is behind them."""
    statuses = [r.status for part in parts for r in part.steps if r.status != "struck"]
    behind = sum(status in ("done", "skipped") for status in statuses)
    finished = sum(part.current() is None for part in parts)
    return Progress(behind, len(statuses), finished, len(parts))


# --- changed -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class JobChanges:
    """What somebody typed of a job; None leaves a fact as it is.

    photos: those that come to it; without_photos: the names of those taken out of it.
    """

    owner: str | None = None
    order_number: str | None = None
    received_on: date | None = None
    condition: str | None = None
    galvanised_on: date | None = None
    promised: date | None = None
    promise: Promise | None = None
    priority: int | None = None
    coats: tuple[CoatFilm, ...] | None = None
    in_all_um: float | None = None
    corrosivity: str | None = None
    durability: str | None = None
    photos: tuple[Photo, ...] = ()
    without_photos: tuple[str, ...] = ()


def changed(job: Job, changes: JobChanges) -> Job:
    """Give a job as it is with what was typed. Nothing is checked."""

    def typed(name: str, old: object) -> object:
        new = getattr(changes, name)
        return old if new is None else new

    out = {name.casefold() for name in changes.without_photos}
    names = ("owner", "order_number", "promised", "promise", "priority")
    system_names = ("coats", "in_all_um", "corrosivity", "durability")
    return replace(
        job,
        **{name: typed(name, getattr(job, name)) for name in names},  # type: ignore[arg-type]
        received=Received(
            changes.received_on or job.received.on,
            job.received.condition if changes.condition is None else changes.condition,
            changes.galvanised_on or job.received.galvanised_on,
        ),
        system=replace(
            job.system,
            **{name: typed(name, getattr(job.system, name)) for name in system_names},  # type: ignore[arg-type]
        ),
        photos=(
            *(photo for photo in job.photos if photo.name.casefold() not in out),
            *changes.photos,
        ),
    )

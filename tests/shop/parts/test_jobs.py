"""Jobs: opened, changed, promised; found as ``find`` finds them; undone; exported and brought in."""

from __future__ import annotations

from datetime import date
from io import StringIO
from pathlib import Path

from bench.process.parts.job import CoatFilm, JobChanges, Photo
from bench.process.refusals.refusal import Refusal
from bench.shop.core.conflicts import SeenEntries
from bench.shop.core.transaction import Shop
from bench.shop.corrections.undo import undo
from bench.shop.data.backups import export_shop, import_shop, read_export
from bench.shop.data.opening import check
from bench.shop.parts import placement
from bench.shop.parts.jobs import promise_job, record_job, rename_job
from bench.shop.queries.jobs import jobs
from bench.store.databases.database import open_store

from ..doing import done, refused, state, told

CHANGES = JobChanges(
    order_number="41",
    received_on=date(2025, 6, 2),
    condition="white rust",
    coats=(CoatFilm("primer", 60.0),),
    corrosivity="C4",
    photos=(Photo("before.jpg", "9f" * 32, 1200),),
)


def test_a_job_takes_name_and_owner_from_its_parts_and_goes_through_an_export(
    shop: Shop, tmp_path: Path
) -> None:
    for stand, job in ((1, "Çay Trolley"), (2, "ÇAY trolley"), (3, "Çay")):
        done(
            placement.place(
                shop, stand, "Kit", route="zinc-new", shape="frame", job=job, owner="Rowing club"
            )
        )
    before = state(shop)
    opened = done(record_job(shop, "Kit", "çay  TROLLEY", CHANGES))
    assert opened.text.startswith("job Çay Trolley opened: owner Rowing club; order number 41; ")
    before_promise = opened.line
    done(promise_job(shop, "Mo", job="çay trolley", day=date(2025, 6, 20), cured=True, priority=1))
    first, second = jobs(shop).lines
    assert (first.job.name, first.progress.of_parts, second.job.name) == ("Çay Trolley", 2, "Çay")
    assert first.slack is not None
    assert first.slack.words == "11 days left"
    assert refused(record_job(shop, "Kit", "çay trolley", CHANGES)).rule.startswith("before.jpg is")
    assert str(refused(promise_job(shop, "Kit", job="Boat", day=date(2025, 7, 1)))) == (
        "no job 'Boat': one of Çay Trolley, Çay"
    )
    stale = shop.as_seen(SeenEntries(before_promise, frozenset()))
    day = date(2025, 7, 1)
    assert refused(promise_job(stale, "Kit", job="çay trolley", day=day)).remedy == "check again"
    assert told(shop) == state(shop)

    out = StringIO()
    export_shop(shop, out, without_names=True)
    for name in ("çay", "rowing"):
        assert name not in out.getvalue().casefold()
    whole = read_export(out.getvalue().encode(), "others.json")
    assert not isinstance(whole, Refusal), whole
    other = Shop(open_store(str(tmp_path / "other.db")), shop.clock.computer, "test")
    done(import_shop(other, whole))
    assert check(other).faults == ()
    assert jobs(other).lines[0].job.photos == CHANGES.photos
    other.store.close()

    done(undo(shop, "Kit"))
    done(undo(shop, "Kit"))
    assert state(shop) == before


def test_a_job_is_renamed_with_its_parts_and_a_photo_is_taken_out(shop: Shop) -> None:
    for stand, job in ((1, "Trolley"), (2, "trolley"), (3, "Gate")):
        done(placement.place(shop, stand, "Kit", route="zinc-new", shape="frame", job=job))
    done(record_job(shop, "Kit", "Trolley", CHANGES))
    before = state(shop)
    answer = done(rename_job(shop, "Mo", "TROLLEY", "Trolley  2026"))
    assert answer.text == "job Trolley is called Trolley 2026 from now on"
    named = {line.job.name: line for line in jobs(shop).lines}
    assert set(named) == {"Trolley 2026", "Gate"}
    assert named["Trolley 2026"].progress.of_parts == 2
    assert named["Trolley 2026"].job.photos == CHANGES.photos
    assert told(shop) == state(shop)
    done(undo(shop, "Kit"))
    assert state(shop) == before
    done(rename_job(shop, "Mo", "gate", "GATE"))
    for name, new, words in (
        ("Trolley", "gate", "there is a job gate already: type a name that is free"),
        ("Trolley", "Trolley", "job Trolley is called that already: type another name"),
        ("Boat", "Ship", "no job 'Boat': one of Trolley, GATE"),
    ):
        assert str(refused(rename_job(shop, "Kit", name, new))) == words

    out = JobChanges(without_photos=("BEFORE.jpg",))
    assert "taken out" in done(record_job(shop, "Kit", "trolley", out)).text
    assert all(not line.job.photos for line in jobs(shop).lines)
    assert str(refused(record_job(shop, "Kit", "trolley", out))) == (
        "job Trolley has no photo BEFORE.jpg: it has none"
    )

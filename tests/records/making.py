"""A part to which everything has happened that can be written down, and one nobody has touched."""

from __future__ import annotations

from bench.process.refusals.overrides import Override
from bench.process.stock.mixing import MixStart
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.parts.film_thickness import record_thickness
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_record import Sheet
from bench.shop.stock import pots
from bench.testing import ManualClock
from tests.shop.doing import begin_over, done

HOSTILE = {
    "markup": "<script>alert(1)</script>",
    "attribute": '" onload="alert(1)',
    "entity": "&lt;b&gt; &#x202e;",
    "markdown": "**[a](http://b.c)** `c` | d |",
    "table": "| --- |",
    "address": "www.b.c and a@b.c",
    "formula": "=HYPERLINK(1)",
    "plus": "+1",
    "minus": "-1",
    "at": "@SUM(A1)",
    "quotes": 'say "yes", then\\n; go',
    "calendar": "a;b,c\\nBEGIN:VALARM",
    "alphabets": "Zoë Ωμέγα שלום",
    "wide": "塗装台 刷毛",
}
"""What a person may type, being printable: each means something else to some form of a file."""

CONTROL = {
    "bell": "a\x07b",
    "escape": "a\x1b[2Jb",
    "line": "a\nb",
    "return": "a\rb",
    "tab": "\tb",
    "null": "a\x00b",
    "delete": "a\x7fb",
    "bidi": "a\u202eb",
    "isolate": "a\u2066b",
    "zero width": "a\u200bb",
    "line separator": "a\u2028b",
    "surrogate": "a\ud800b",
}
"""What nobody can type at the bench, but what a file of another program might bring in."""


def told(shop: Shop, target: str | int = 1) -> Sheet:
    """The sheet of a part."""
    found = sheet_of(shop, target)
    assert isinstance(found, Sheet), found
    return found


def eventful(shop: Shop, clock: ManualClock) -> None:
    """Tag 1 on stand 1: fourteen brackets on their way to CURED, with all that went wrong.

    Skipped, held, overridden, sprayed by two from a topped-up pot, thin and measured, two
    opinions of the test, a defect, two pieces split off as 1b.
    """
    called = {"name": "Roller brackets", "job": "TROLLEY 7", "owner": "Rowing club"}
    done(
        placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket", count=14, **called)
    )
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(holds_and_rework.hold(shop, 1, "Mo", "waiting for material"))
    clock.advance(minutes=20)
    done(holds_and_rework.release(shop, 1, "Mo"))
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=30)
    done(steps.finish(shop, 1, "Kit"))
    done(testing.pass_test(shop, 1, "Kit"))
    done(readings.take_reading(shop, "Mo", air_c=17, rh_pct=60, metal_c=16))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    done(pots.top_up(shop, "A", "Mo", known=MixStart(need_ml=200)))
    clock.advance(minutes=20)
    done(steps.begin(shop, 1, "Kit", helper="Mo"))
    clock.advance(minutes=10)
    done(readings.take_reading(shop, "Mo", air_c=16, rh_pct=82, metal_c=15))
    clock.advance(minutes=15)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    done(record_thickness(shop, 1, "Kit", weight="thin", dry_um=50))
    done(pots.bin_pot(shop, "A", "Mo", left_ml=40))
    done(holds_and_rework.rework(shop, 1, "Mo", "fish-eye", count=2))
    for _ in range(6):
        clock.advance(hours=4)
        done(readings.take_reading(shop, "Kit", air_c=18, rh_pct=58))
    done(testing.put_test_off(shop, 1, "Mo", minutes=30))
    clock.advance(minutes=40)
    done(testing.pass_test(shop, 1, "Kit"))
    done(readings.take_reading(shop, "Kit", air_c=3, rh_pct=90, metal_c=3))
    warmed = Override({"no-window": "the shop is being warmed"})
    need = MixStart(need_ml=330)
    done(pots.mix(shop, "gloss", "Mo", known=need, thinner_pct=10, override=warmed))
    done(begin_over(shop, 1, "Mo", "tested on the coupon"))
    clock.advance(minutes=30)
    done(steps.finish(shop, 1, "Mo", all_faces=True))


def curing(shop: Shop, clock: ManualClock) -> None:
    """Tag 1 on stand 1: a plate whose last coat, two-pack gloss, was finished just now at 20 C."""
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="plate"))
    while told(shop).left_to_do > 2:
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=50, metal_c=20))
    done(pots.mix(shop, "gloss", "Kit", known=MixStart(need_ml=330)))
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit", all_faces=True))

"""A claim two years later, as one test: the owner says "it peels on the left rail"."""

from __future__ import annotations

from dataclasses import replace

from bench.process.stock.mixing import MixStart
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.parts.measuring import Readings, record_readings
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_record import Sheet
from bench.shop.seeds.seed_files import Seeds
from bench.shop.seeds.seed_text import sheet_text
from bench.shop.seeds.sheet_editing import set_product
from bench.shop.stock import pots, tins
from bench.testing import ManualClock
from tests.shop.doing import done

from ..running import Paintbench

FORMS = ("text", "md", "html", "json", "csv", "readings", "measured", "care", "care-html", "label")


def painted(shop: Shop, clock: ManualClock) -> None:
    """A rail of the launching trolley, painted, measured and collected."""
    done(
        placement.place(
            *(shop, 1, "Kit"),
            **{"route": "steel-blasted", "shape": "plate", "name": "Left rail"},
            **{"job": "Launching trolley", "owner": "Rowing club"},
        )
    )
    for role, batch in (("base", "GB-0412"), ("hardener", "GH-0398")):
        done(tins.record_tin(shop, "gloss", "Mo", role=role, batch=batch, size_ml=2000))
    found = sheet_of(shop, 1)
    while isinstance(found, Sheet) and found.left_to_do > 2:
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
        found = sheet_of(shop, 1)
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=50, metal_c=19))
    done(pots.mix(shop, "gloss", "Kit", known=MixStart(need_ml=330)))
    clock.advance(minutes=5)
    done(steps.begin(shop, 1, "Mo"))
    clock.advance(minutes=20)
    done(readings.take_reading(shop, "Kit", air_c=20.5, rh_pct=52, metal_c=19))
    done(steps.finish(shop, 1, "Mo", all_faces=True))
    done(pots.bin_pot(shop, "A", "Kit", left_ml=20))
    clock.advance(days=2)
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=50, metal_c=19))
    done(record_readings(shop, 1, "Kit", Readings("dft", {"": [48.0, 52.0, 51.0]})))
    clock.advance(days=28)
    done(testing.pass_test(shop, 1, "Mo"))
    done(placement.take_off(shop, 1, "Mo"))


def test_a_claim_after_two_years_is_answered_in_two_commands_whatever_was_typed_since(
    shop: Shop, clock: ManualClock, paintbench: Paintbench, seeds: Seeds
) -> None:
    painted(shop, clock)
    clock.advance(days=2 * 365)

    found = paintbench("find", "left", "rail")
    (line,) = found.out.splitlines()
    tag = line.split()[0]
    told = " ".join(paintbench("sheet", "--tag", tag).out.split())
    for fact in (
        f"JOB RECORD, tag {tag}",
        "base batch GB-0412",
        "hardener batch GH-0398",
        "Air before 2025-06-09 07:30 air 20 C, 50 %, surface 19 C",
        "5 min before it began",
        "Air during 2025-06-09 07:55 air 20.5 C, 52 %, surface 19 C",
        "07:55 Mo",
        "Readings DFT (ISO 2808): mean 50.33 um, min 48, max 52 of 3",
        "Figures placeholder as of Mon 9 Jun 2025",
        'Test "',
        "AIR OVER THE TIME OF THE WORK",
    ):
        assert fact in told, fact

    before = {form: paintbench("sheet", "--tag", tag, "--form", form).out for form in FORMS}
    for key, product in seeds.products.items():
        film = replace(product.film, target_um=product.film.most_um) if product.film else None
        anew = replace(
            *(product,),
            name=f"{product.name}, new tin",
            source="sheet",
            film=film,
            test=f"another test, {product.test}"[:200],
            colour="club blue",
            issued="2027-06-09",
            flash_point_c=30.0,
        )
        done(set_product(shop, "Kit", key, sheet_text(anew), sure=True))
    for form in FORMS:
        after = paintbench("sheet", "--tag", tag, "--form", form).out
        assert after == before[form], form

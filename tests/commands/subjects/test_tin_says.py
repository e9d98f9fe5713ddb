"""What the tin says, on the command line: marks, the warning, and --tin-says."""

from __future__ import annotations

from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.seeds import sheet_editing
from bench.shop.seeds.seed_text import sheet_text
from tests.shop.doing import done

from ..running import Paintbench

UNREAD = "ratio not from your tin: check it"


def gloss(paintbench: Paintbench, *more: str) -> list[str]:
    ran = paintbench("mix", "gloss", "--need", "330ml", *more, "--by", "Mo")
    assert (ran.code, ran.err) == (0, "")
    return [line.strip() for line in ran.out.splitlines()]


def test_a_mix_shows_what_to_wear_and_what_hurts_before_it_shows_what_to_pour(
    paintbench: Paintbench,
) -> None:
    told = gloss(paintbench)
    assert told[0] == "pot A: 330 ml Two-pack gloss 2:1, bin by 09:30?"
    assert told[1].startswith("wear: air-fed")
    assert told[2].startswith("! breath: ISOCYANATE")
    first = told.index(UNREAD)
    assert all(line.startswith(("wear:", "! ")) for line in told[1:first])
    assert told[first + 1 : first + 4] == [
        "base         200? ml  fill to 200? ml",
        "hardener     100? ml  fill to 300? ml",
        "thinner       30? ml  fill to 330? ml",
    ]


def test_what_the_tin_says_takes_the_mark_off_the_ratio_alone_and_stays_read(
    paintbench: Paintbench, shop: Shop
) -> None:
    for told in (gloss(paintbench, "--tin-says", "2:1"), gloss(paintbench)):
        assert UNREAD not in told
        assert "base          200 ml  fill to 200 ml" in told
        assert "thinner       30? ml  fill to 330? ml" in told
        assert told[0].endswith("bin by 09:30?")
    assert bench_view.read_bench(shop).tin_ratios.keys() == {"gloss"}
    log = paintbench("journal").out
    assert log.count("the tin says 2:1 base:hardener: Two-pack gloss 2:1") == 1


def test_another_ratio_on_the_tin_mixes_nothing_and_says_what_to_do(
    paintbench: Paintbench, shop: Shop
) -> None:
    ran = paintbench("mix", "gloss", "--need", "330ml", "--tin-says", "3:1", "--by", "Mo")
    assert (ran.code, ran.out) == (1, "")
    assert "the tin says 3:1, the bench 2:1 base:hardener" in ran.err
    assert "type the tin's own figures first, then mix" in ran.err
    ran = paintbench("mix", "gloss", "--need", "330ml", "--tin-says", "soup", "--by", "Mo")
    assert "the ratio on the tin cannot be read" in ran.err
    assert bench_view.read_bench(shop).pots == ()


def test_of_what_is_not_mixed_the_tin_says_no_ratio(paintbench: Paintbench) -> None:
    ran = paintbench("mix", "two-pack-aerosol", "--tin-says", "2:1", "--by", "Mo")
    assert ran.err.startswith("how much is not said")
    assert (
        paintbench("mix", "two-pack-aerosol", "--by", "Mo")
        .out.splitlines()[1]
        .startswith("  wear: ")
    )


def test_a_new_batch_wears_the_mark_again(paintbench: Paintbench) -> None:
    add = ("tin", "add", "gloss", "--role", "hardener", "--size", "500ml", "--by", "Mo")
    assert paintbench(*add, "--batch", "H-1").code == 0
    assert UNREAD not in gloss(paintbench, "--tin-says", "2:1")
    assert paintbench(*add, "--batch", "H-2").code == 0
    assert UNREAD not in gloss(paintbench)
    assert UNREAD in gloss(paintbench, "--tins", "2")


def test_the_list_of_products_marks_each_ratio_nobody_read(
    paintbench: Paintbench, shop: Shop
) -> None:
    assert "2 base : 1 hardener?" in paintbench("products").out
    gloss(paintbench, "--tin-says", "2:1")
    listed = paintbench("products").out
    assert "2 base : 1 hardener " in listed
    assert "5 base : 1 hardener?" in listed
    text = sheet_text(bench_view.read_bench(shop).products["high-build"])
    typed = text.replace('"placeholder"', '"sheet"\nplaceholder = []')
    done(sheet_editing.set_product(shop, "Kit", "high-build", typed))
    assert "5 base : 1 hardener?" not in paintbench("products").out

"""Typing what the tins say over what the program came with."""

from __future__ import annotations

import tomllib
from dataclasses import replace

import pytest

from bench.process.sheets.layers import clashes_on_route
from bench.process.sheets.plausibility import questions
from bench.process.sheets.product import Band, Product, Until
from bench.process.sheets.product_rules import check_product
from bench.process.sheets.route import Route, check_prepared
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.seeds.form_questions import form_questions
from bench.shop.seeds.seed_files import BadSeed, Seeds, check_in_shop, folder, load, read_one
from bench.shop.seeds.seed_text import sheet_text
from bench.shop.seeds.sheet_editing import set_product, set_route
from bench.shop.stock import pots
from bench.testing import ManualClock
from tests.shop.doing import done, part, refused, stand, state

pytestmark = pytest.mark.sqlite

EVERYTHING = load(folder())


@pytest.mark.parametrize("key", EVERYTHING.products)
def test_every_shipped_product_is_the_same_when_it_is_written_and_read_again(key: str) -> None:
    product = EVERYTHING.products[key]
    again = read_one(
        sheet_text(product), key, Product, lambda made: check_in_shop(made, EVERYTHING)
    )
    assert again == product


@pytest.mark.parametrize("key", EVERYTHING.routes)
def test_every_shipped_route_is_the_same_when_it_is_written_and_read_again(key: str) -> None:
    route = EVERYTHING.routes[key]
    again = read_one(sheet_text(route), key, Route, lambda made: check_in_shop(made, EVERYTHING))
    assert again == route


LABOUR = """labour = "90 s"
labour_m2 = "6 min/m2"
hands = 2
follow = "0 min"
abrading = "1 h"
spray_space = false
place = "wash bay"
"""


def coat_with(lines: str) -> Route:
    """New galvanised, its last coat with more lines."""
    before, kind, after = sheet_text(EVERYTHING.routes["zinc-new"]).rpartition('kind = "coat"\n')
    text = f"{before}{kind}{lines}{after}"
    return read_one(text, "zinc-new", Route, lambda made: check_in_shop(made, EVERYTHING))


def test_the_work_of_a_step_is_read_and_the_same_when_it_is_written_and_read_again() -> None:
    route = coat_with(LABOUR)
    step = route.steps[-2]
    assert (step.labour_s, step.labour_s_m2, step.hands, step.follow_s) == (90, 360, 2, 0)
    assert (step.abrading_s, step.spray_space, step.place) == (3600, False, "wash bay")
    assert read_one(sheet_text(route), "zinc-new", Route, lambda _: None) == route


def test_one_or_two_hands_are_read_and_written_and_the_form_has_them_to_choose_from() -> None:
    route = coat_with('hands = "1-2"\n')
    assert route.steps[-2].hands == "1-2"
    assert 'hands = "1-2"' in sheet_text(route)
    assert read_one(sheet_text(route), "zinc-new", Route, lambda _: None) == route
    [steps] = [question for question in form_questions("route") if question.key == "step"]
    [hands] = [question for question in steps.parts if question.key == "hands"]
    assert (hands.kind, hands.choices) == ("choice", (1, 2, "1-2"))


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ('labour = "30 h"', "labour 1800 min; it is over 0, up to 24 h"),
        ('labour = "5"', "'5' has no unit: type a time"),
        ('labour_m2 = "5 min"', "wanted a time for each area, such as 6 min/m2"),
        ("hands = 3", "hands reads '3'; it is one of 1, 2 or '1-2'"),
        ('spray_space = "x"', "write true or false"),
        ('follow = "-1 min"', "follow -1 min; it is from 0 to 7 d"),
        ("labour_s = 90", "is 'labour' meant?"),
    ],
)
def test_work_that_cannot_be_is_refused_with_its_line(line: str, why: str) -> None:
    with pytest.raises(BadSeed) as fault:
        coat_with(f"{line}\n")
    assert why in str(fault.value)
    assert "zinc-new:" in str(fault.value)


def test_an_exact_time_and_limits_of_humidity_are_the_same_when_they_are_read_again() -> None:
    gloss = EVERYTHING.products["gloss"]
    exact = Band("wait", Until(fixed_s=86400.0, exact=True))
    limits = replace(gloss.limits, rh_least_pct=35.0, rh_stall_pct=75.0)
    typed = replace(gloss, bands=(exact, Band("open")), limits=limits)
    assert 'rh_stall = "75 %"' in sheet_text(typed)
    assert read_one(sheet_text(typed), "gloss", Product, check_product) == typed


def test_the_test_of_a_closed_middle_is_the_same_when_it_is_read_again() -> None:
    enamel = EVERYTHING.products["enamel-aerosol"]
    bands = [replace(b, test="rub" if b.word == "shut" else "") for b in enamel.bands]
    typed = replace(enamel, bands=tuple(bands))
    assert '{ is = "shut", until = "2 d", test = "rub" }' in sheet_text(typed)
    assert read_one(sheet_text(typed), "enamel-aerosol", Product, check_product) == typed


def test_odd_texts_and_figures_are_written_as_toml_reads_them(seeds: Seeds) -> None:
    odd = replace(
        seeds.products["gloss"],
        name='a "quoted" \\ name, ä',
        volume_solids_pct=33.3,
        induction_s=90.5,
    )
    assert tomllib.loads(sheet_text(odd))["name"] == odd.name
    again = read_one(sheet_text(odd), "gloss", Product, lambda _: None)
    assert again == odd


def epoxy(seeds: Seeds, old: str, new: str) -> str:
    text = sheet_text(seeds.products["epoxy-primer"])
    assert old in text
    return text.replace(old, new)


@pytest.mark.parametrize(
    ("old", "new", "asks"),
    [
        ("base = 4, hardener = 1", "base = 1, hardener = 4", "and the name says 4:1"),
        ('"45 %"', '"5.5 %"', "volume solids 5.5 %: is that so?"),
        ('"100 um"', '"80 mm"', "film max 80000 um"),
        ('"40 um"', '"2 um"', "film min 2 um"),
        (
            '"10 C" = "14 d", "20 C" = "7 d"',
            '"20 C" = "7 h"',
            "full cure after 7 h, before the next coat may go on after 16 h (at 20 C)",
        ),
        (
            'pot_life = { "20 C" = "4 h" }',
            "isocyanate = true",
            "an isocyanate without a pot life: is that so?",
        ),
    ],
)
def test_what_is_hardly_ever_so_is_asked_about_once(
    shop: Shop, seeds: Seeds, old: str, new: str, asks: str
) -> None:
    text = epoxy(seeds, old, new)
    before = state(shop)
    answer = refused(set_product(shop, "Kit", "epoxy-primer", text))
    assert asks in answer.rule
    assert (answer.remedy, answer.also) == ("say so with --sure, or type it right", ())
    assert state(shop) == before
    done(set_product(shop, "Kit", "epoxy-primer", text, sure=True))
    done(set_product(shop, "Kit", "epoxy-primer", text.replace("Greasy bloom", "Bloom")))


def test_of_what_is_shipped_only_a_promoter_and_a_one_pack_isocyanate_are_asked_about(
    seeds: Seeds,
) -> None:
    asked = {key for key, product in seeds.products.items() if questions(product)}
    assert asked == {"moisture-cured", "promoter"}


def test_the_sheet_of_a_coat_that_is_drying_moves_its_clock_and_says_so(
    shop: Shop, clock: ManualClock, seeds: Seeds
) -> None:
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=60, metal_c=20))
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    while part(shop).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=10)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    before = stand(shop).opens.at
    text = epoxy(seeds, '"20 C" = "16 h"', '"20 C" = "12 h"').replace("placeholder", "sheet")
    answer = done(set_product(shop, "Mo", "epoxy-primer", text))
    assert answer.text == "Epoxy primer 4:1: changed source, band"
    assert answer.notes == (
        "still placeholders, with their ?: ratio, volume_solids, film, limits, pot_life, "
        "opened_life, full_cure",
        "the clocks of tag 1, pot A go by the new sheet",
    )
    assert stand(shop).opens.at < before  # type: ignore[operator]
    assert bench_view.read_bench(shop).products["epoxy-primer"].source == "sheet"
    done(undo.undo(shop, "Kit"))
    assert stand(shop).opens.at == before
    assert check(shop).faults == ()


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('"20 C" = "16 h"', '"20 C" = "16"', "epoxy-primer:10"),
        ("ratio = { base = 4", "ratio = { base = -4", "epoxy-primer:5"),
        ("volume_solids", "volume_solid", "is 'volume_solids' meant?"),
        ('"45 %"', '"145 %"', "it must be over 0, up to 100"),
        ('"zinc-rich"', '"zink-rich"', "no surface or product 'zink-rich'"),
        ('tool = "hvlp"', 'tool = "hvlpp"', "no tool 'hvlpp'"),
        ("kind = ", "kind ", "not TOML"),
        ('name = "Epoxy primer 4:1"', 'key = "x"\nname = "E"', "leave out 'key'"),
        ("Epoxy primer 4:1", "", "epoxy-primer:1: 'name' is empty"),
        ("Epoxy primer 4:1", r"Epoxy\u001b[31m", r"'name' has a control character ('\x1b')"),
        ("Epoxy primer 4:1", r"Epoxy\u202e1:4", r"'name' has a control character ('\u202e')"),
        ("Epoxy primer 4:1", "E" * 61, "'name' is too long (61 characters): at most 60"),
        ("no drag when twisted", "x" * 200, "'test' is too long"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused_with_its_line_and_what_would_be_right(
    shop: Shop, seeds: Seeds, old: str, new: str, says: str
) -> None:
    before = state(shop)
    told = refused(set_product(shop, "Kit", "epoxy-primer", epoxy(seeds, old, new)))
    assert says in str(told)
    assert state(shop) == before


def test_every_fault_of_a_text_is_in_one_answer(shop: Shop, seeds: Seeds) -> None:
    text = epoxy(seeds, '"45 %"', '"145 %"')
    for old, new in (
        ('"20 C" = "4 h"', '"20 C" = "4"'),
        ('least = "40 um"', 'least = "40"'),
        ('tool = "hvlp"', "tool = 5"),
        ('"zinc-rich"', '"zink-rich"'),
        ('"seam-sealer"', '"seem-sealer"'),
        ('hazards = ["epoxy"]', 'hazards = ["epoxi"]\ncolor = "red"'),
        ("notes = ", "testt = "),
    ):
        assert old in text
        text = text.replace(old, new)
    answer = refused(set_product(shop, "Kit", "epoxy-primer", text))
    every = [str(fault) for fault in (answer, *answer.also)]
    expected = (
        ":4: no surface or product 'zink-rich'",
        ":4: no surface or product 'seem-sealer'",
        "volume solids",
        "film",
        "pot_life",
        "tool reads '5'",
        "no hazard 'epoxi'",
        "'color' is not a key",
        "'testt' is not a key that belongs here: is 'test' meant?",
    )
    assert [sum(words in fault for fault in every) for words in expected] == [1] * 9, every
    assert len(every) == len(expected), every
    route = sheet_text(seeds.routes["steel-blasted"])
    for old, new in (('"epoxy-primer"', '"epoxi"'), ('"work"', '"wirk"'), ('"cure"', '"coat"')):
        assert old in route
        route = route.replace(old, new, 1)
    answer = refused(set_route(shop, "Kit", "steel-blasted", route))
    every = [str(fault) for fault in (answer, *answer.also)]
    of_route = ("kind reads 'wirk'", "no product 'epoxi'", "the last step must be of kind 'cure'")
    assert [sum(words in fault for fault in every) for words in of_route] == [1] * 3, every


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("Bare steel, blasted", "S" * 61, "'name' is too long (61 characters): at most 60"),
        ("Degrease and rinse", r"Wash\u0007", r"'name' has a control character ('\x07')"),
        ("Stripe edges and welds first", r"Stripe\u009b2J", "'reminders' has a control character"),
    ],
)
def test_a_route_holds_only_texts_that_can_be_shown(
    shop: Shop, seeds: Seeds, old: str, new: str, says: str
) -> None:
    text = sheet_text(seeds.routes["steel-blasted"])
    assert old in text
    before = state(shop)
    told = refused(set_route(shop, "Kit", "steel-blasted", text.replace(old, new)))
    assert says in str(told)
    assert state(shop) == before


def test_a_route_is_not_left_without_its_last_coats_cure(shop: Shop, seeds: Seeds) -> None:
    text = sheet_text(replace(seeds.products["gloss"], full_cure=()))
    told = refused(set_product(shop, "Kit", "gloss", text))
    assert "has no full_cure" in str(told)


def test_a_product_of_the_shops_own_is_new_and_may_go_over_itself(shop: Shop, seeds: Seeds) -> None:
    text = sheet_text(
        replace(seeds.products["gloss"], name="Hull gloss", over=("epoxy-primer", "hull-gloss"))
    )
    assert done(set_product(shop, "Kit", "hull-gloss", text)).text == "new: Hull gloss"
    assert "hull-gloss" in bench_view.read_bench(shop).products
    assert (
        refused(set_product(shop, "Kit", "hull-gloss", text)).rule == "Hull gloss says so already"
    )
    assert check(shop).faults == ()


@pytest.mark.parametrize("key", ["", "Gloss", "../x", "a b", "1st", "x" * 41, "\x1b"])
def test_a_key_is_plain(shop: Shop, seeds: Seeds, key: str) -> None:
    text = sheet_text(seeds.products["gloss"])
    assert "cannot be" in refused(set_product(shop, "Kit", key, text)).rule
    assert "cannot be" in refused(set_route(shop, "Kit", key, text)).rule


def test_a_changed_route_leaves_the_parts_on_it_as_they_are(shop: Shop, seeds: Seeds) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    before = part(shop).steps
    route = seeds.routes["zinc-new"]
    text = sheet_text(replace(route, steps=route.steps[1:]))
    answer = done(set_route(shop, "Mo", "zinc-new", text))
    assert answer.notes == ("tag 1: the steps stay as they are",)
    assert part(shop).steps == before
    done(placement.place(shop, 2, "Kit", route="zinc-new", shape="bracket"))
    assert len(part(shop, "2").steps) == len(before) - 1
    no_cure = sheet_text(replace(route, steps=route.steps[:-1]))
    assert "only a cure ends in CURED" in str(refused(set_route(shop, "Mo", "zinc-new", no_cure)))


@pytest.mark.parametrize("metal", ["zinc", "weathered-zinc", "steel", "cast-iron", "aluminium"])
def test_a_route_that_coats_bare_metal_unprepared_is_refused(
    shop: Shop, seeds: Seeds, metal: str
) -> None:
    """No coat holds on metal that nobody prepared: common practice, no source."""
    route = seeds.routes["steel-blasted"]
    coats = tuple(each for each in route.steps if each.kind in ("coat", "cure"))
    bare = sheet_text(replace(route, substrate=metal, steps=coats))
    told = str(refused(set_route(shop, "Kit", "coats", bare)))
    assert f"nothing prepares the bare {metal.replace('-', ' ')} before this coat" in told
    assert "skipped as 'already done' on parts that come prepared" in told
    old_paint = sheet_text(replace(route, substrate="old-paint", steps=coats))
    assert done(set_route(shop, "Kit", "coats", old_paint))


def test_every_shipped_route_prepares_its_surface_and_is_allowed_layer_by_layer(
    seeds: Seeds,
) -> None:
    for route in seeds.routes.values():
        check_prepared(route)
        assert clashes_on_route(route, seeds.products) == []


def test_what_a_step_wants_measured_is_checked_as_it_is_typed(shop: Shop, seeds: Seeds) -> None:
    route = seeds.routes["steel-blasted"]

    def typed(lines: str, place: int = 0) -> str:
        head, *steps = sheet_text(route).split("[[step]]\n")
        steps[place] = f"{lines}\n{steps[place]}"
        return "[[step]]\n".join([head, *steps])

    right = 'measure = ["profile"]\naccept = { profile = ["40 um", "3 mil"], dust = [0, 2] }'
    done(set_route(shop, "Kit", "steel-blasted", typed(right)))
    step = bench_view.read_bench(shop).routes["steel-blasted"].steps[0]
    assert (step.measure, [limit.words() for limit in step.accept]) == (
        *(("profile",),),
        ["40 to 76.2 um", "at most 2"],
    )
    changed = sheet_text(replace(route, steps=(step, *route.steps[1:])))
    again = read_one(changed, "r", Route, lambda made: check_in_shop(made, EVERYTHING))
    assert again.steps[0] == step
    for lines, said in (
        ('measure = ["dtf"]', "no kind of measurement 'dtf': one of zinc"),
        ('measure = ["dft"]', "only a coat has a film: take 'dft' out"),
        ('accept = { salts = ["9 uS/cm", "5 uS/cm"] }', "salts 9 to 5: from 0 to 2000 uS/cm"),
        ("accept = { salts = [0, 5] }", "write it in quotes with its unit"),
        ('accept = { dust = ["0", "2"] }', "it has no unit: write [0, 2]"),
        ("accept = { glue = [0, 2] }", "no kind of measurement 'glue'"),
        ("accept = { dust = 2 }", 'write two: ["from", "to"]'),
    ):
        assert said in str(refused(set_route(shop, "Kit", "steel-blasted", typed(lines)))), lines
    salts = sheet_text(seeds.products["epoxy-primer"]) + "accept = { ph = [9, 6] }\n"
    assert "smaller first" in str(refused(set_product(shop, "Kit", "epoxy-primer", salts)))


def test_a_coat_over_a_layer_that_its_sheet_does_not_name_is_refused_when_it_is_typed(
    shop: Shop, seeds: Seeds
) -> None:
    text = sheet_text(seeds.routes["steel-blasted"])
    assert 'product = "epoxy-primer"' in text
    gloss = text.replace('product = "epoxy-primer"', 'product = "gloss"')
    answer = refused(set_route(shop, "Kit", "steel-blasted", gloss))
    assert answer.rule.endswith("Two-pack gloss 2:1 does not go over steel"), answer
    assert "it goes over Epoxy primer" in answer.remedy
    assert "'over' of Two-pack gloss" in answer.remedy


def test_a_sheet_that_no_longer_goes_over_a_layer_names_the_routes_and_the_parts(
    shop: Shop, seeds: Seeds
) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    only_zinc = sheet_text(replace(seeds.products["epoxy-primer"], over=("zinc",)))
    notes = done(set_product(shop, "Kit", "epoxy-primer", only_zinc)).notes
    assert any(note.startswith("Bare steel, blasted: step ") for note in notes)
    assert any("does not go over steel: it goes over zinc; change" in note for note in notes)
    assert notes[-1] == "tag 1: a coat of Epoxy primer 4:1 is ahead that it does not allow"
    # The route can still be changed elsewhere, and says so each time.
    route = replace(seeds.routes["steel-blasted"], name="Blasted")
    answer = done(set_route(shop, "Kit", "steel-blasted", sheet_text(route)))
    assert any("does not go over steel" in note for note in answer.notes)


def test_only_the_figures_that_were_typed_lose_their_question_mark(
    shop: Shop, seeds: Seeds
) -> None:
    def set_text(*changes: tuple[str, str]) -> Product:
        text = sheet_text(bench_view.read_bench(shop).products["epoxy-primer"])
        for old, new in changes:
            assert old in text
            text = text.replace(old, new)
        done(set_product(shop, "Kit", "epoxy-primer", text))
        return bench_view.read_bench(shop).products["epoxy-primer"]

    # A figure that was typed before its source is said counts too.
    set_text(('"4 h"', '"3 h"'))
    sheet = set_text(('"placeholder"', '"sheet"'), ('"45 %"', '"47 %"'))
    text = 'placeholder = ["ratio", "film", "limits", "band", "opened_life", "full_cure"]'
    assert text in sheet_text(sheet)
    assert [sheet.doubt_of(each) for each in ("pot_life", "volume_solids_pct")] == ["", ""]
    assert [sheet.doubt_of(each) for each in ("ratio", "bands")] == ["?", "?"]
    assert (sheet.doubt, sheet.source_of("pot_life", "film")) == ("?", "placeholder")
    # What is changed was typed; what the line no longer names is as the tin says.
    assert not set_text(('most = "100 um"', 'most = "90 um"')).doubt_of("film")
    sheet = set_text(('"ratio", ', ""))
    assert (sheet.doubt_of("ratio"), sheet.doubt_of("bands")) == ("", "?")
    assert set_text(('most = "90 um"', 'most = "95 um"')).placeholder == sheet.placeholder
    assert set_text(('["limits", "band", "opened_life", "full_cure"]', "[]")).doubt == ""
    # A sheet without the line was typed throughout, and stays so.
    assert set_text(('"3 h"', '"4 h"')).doubt == ""
    other = sheet_text(seeds.products["gloss"]).replace(
        '"placeholder"', '"sheet"\nplaceholder = ["pot"]'
    )
    assert "'pot' is no figure of a sheet" in str(refused(set_product(shop, "Kit", "gloss", other)))

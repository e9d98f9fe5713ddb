"""`paintbench help`: the topics, one of them, and a word that is none."""

from __future__ import annotations

import tomllib

import pytest
from pydantic import TypeAdapter

from bench.help_topics import read_topic, topic_names
from bench.process.sheets.product import Product
from bench.process.sheets.route import Route
from bench.shop.seeds.file_schema import file_schema
from bench.shop.seeds.seed_values import build
from bench.shop.settings.setting_list import SETTINGS

from ..running import Paintbench


def test_without_a_topic_all_are_listed_in_lines_that_fit(anywhere: Paintbench) -> None:
    ran = anywhere("help")
    assert (ran.code, ran.err) == (0, "")
    for name in topic_names():
        assert f"\n  {name:<17} {read_topic(name).title}\n" in ran.out
    assert max(map(len, ran.out.splitlines())) <= 79
    assert [topic["topic"] for topic in anywhere("help", "--json").json()["topics"]] == [
        *topic_names()
    ]


@pytest.mark.parametrize("name", topic_names())
def test_a_topic_is_shown_whole_with_no_shop_there(anywhere: Paintbench, name: str) -> None:
    topic = read_topic(name)
    ran = anywhere("help", name)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.splitlines() == [topic.title, *topic.lines]
    data = anywhere("help", name, "--json").json()
    assert data == {"topic": name, "title": topic.title, "text": "\n".join(topic.lines)}


def test_a_word_that_is_no_topic_lists_those_there_are(anywhere: Paintbench) -> None:
    ran = anywhere("help", "mix")
    assert (ran.code, ran.out) == (2, "")
    assert "read 'mix'; wanted one of calculations, data-sheets," in ran.err
    assert "paintbench COMMAND --help" in ran.err


def test_the_help_of_shop_says_the_range_of_each_setting_and_what_a_new_shop_has(
    anywhere: Paintbench,
) -> None:
    told = " ".join(anywhere("shop", "--help").out.split())
    for setting in SETTINGS:
        if setting.option and setting.unit:
            assert f"({setting.range}" in told, setting.key
        is_placed = setting.start is not None and "not typed" not in setting.range
        if setting.option and setting.kind == "quantity" and is_placed:
            assert f"a new shop: {setting.start:g} {setting.unit})" in told, setting.key


@pytest.mark.parametrize(("form", "kind"), [("product", Product), ("route", Route)])
def test_the_keys_of_a_text_are_listed_with_their_range_and_an_example_that_is_read(
    anywhere: Paintbench, form: str, kind: type[Product] | type[Route]
) -> None:
    ran = anywhere("help", form)
    assert (ran.code, ran.err) == (0, "")
    assert max(map(len, ran.out.splitlines())) <= 78
    rows = anywhere("help", form, "--json").json()["keys"]
    assert {*file_schema(kind)["properties"]} == {
        row["key"] for row in rows if "." not in row["key"]
    }
    steps = [row["example"] for row in rows if row["key"].startswith("step.")]
    text = "\n".join(row["example"] for row in rows if "." not in row["key"])
    text += "\n".join(["\n[[step]]", *steps]) if steps else ""
    assert build({**tomllib.loads(text), "key": "x"}, TypeAdapter(kind)).name
    if form == "product":
        for words in ("over 0, up to 100 %", 'induction = "15 min"', "dew_margin"):
            assert words in ran.out

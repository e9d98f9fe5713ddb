"""`paintbench help`: the topics, one of them, and a word that is none."""

from __future__ import annotations

import pytest

from bench.help_topics import read_topic, topic_names
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
        if setting.option and setting.kind == "quantity" and setting.start is not None:
            assert f"a new shop: {setting.start:g} {setting.unit})" in told, setting.key

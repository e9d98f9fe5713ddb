"""From help to the texts that a painter can read at the bench."""

from __future__ import annotations

import pytest

from bench.help_topics import read_topic, topic_names
from bench.screens.core.help import Help, topic_page
from bench.screens.core.pages import Pages
from bench.shop.core.transaction import Shop
from bench.testing import ManualClock

from ..driving import at_the_bench


async def test_plus_in_help_lists_the_topics_and_a_digit_opens_one(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("? +")
        listed = hands.picture()
        for name in topic_names()[:8]:
            assert read_topic(name).title in listed
        await hands.press("9 1")
        topic = read_topic(topic_names()[8])
        assert isinstance(hands.app.screen, Pages)
        assert topic.title in hands.picture()
        assert next(filter(None, topic.lines)) in hands.picture()
        await hands.press("0")
        assert isinstance(hands.app.screen, Help)


@pytest.mark.parametrize("name", topic_names())
def test_no_line_of_a_topic_is_broken_on_eighty_columns(name: str) -> None:
    page = Pages(lambda: topic_page(name))
    drawn = page.body(80, 1000)
    assert len(drawn) == len(page.rows) + 2

"""The texts of ``paintbench help`` and the page that leads to them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from bench.commands.subjects.topics import FORMS
from bench.help_topics import WIDTH, read_topic, topic_names
from bench.process.safety.hazards import NAMES

README = Path(__file__).resolve().parents[1] / "README.md"

TOPICS = topic_names()


@pytest.mark.parametrize("name", TOPICS)
def test_a_topic_has_a_title_and_fits_a_terminal_without_colours_or_signs(name: str) -> None:
    topic = read_topic(name)
    assert topic.title
    assert len(topic.lines) > 10
    for line in (topic.title, *topic.lines):
        assert len(line) <= WIDTH, line
        assert line.isascii(), line
        assert line == line.rstrip(), line


def test_readme_is_short_and_names_every_topic_with_its_title() -> None:
    lines = README.read_text(encoding="utf-8").splitlines()
    assert len(lines) <= 200
    rows = [line for line in lines if line.startswith("| [`")]
    assert sorted(rows) == sorted(
        f"| [`{name}`](bench/help_topics/{name}.md) | {read_topic(name).title} |" for name in TOPICS
    )


@pytest.mark.parametrize("page", ["README", *TOPICS])
def test_a_topic_that_a_page_names_is_there(page: str) -> None:
    text = README.read_text(encoding="utf-8")
    if page != "README":
        text = "\n".join(read_topic(page).lines)
    assert {*re.findall(r"paintbench help ([a-z-]+)", text)} <= {*TOPICS, *FORMS}


def test_the_topic_of_data_sheets_lists_every_hazard_that_a_sheet_can_name() -> None:
    text = "\n".join(read_topic("data-sheets").lines)
    listed = re.search(r"from these names:\n\n(.*?)\n\n", text, re.DOTALL)
    assert listed is not None
    rows = re.sub(r"^ +[a-z ]+: +", "", listed[1], flags=re.MULTILINE)
    names = {name.strip() for name in rows.replace("\n", ",").split(",")} - {""}
    assert names == NAMES

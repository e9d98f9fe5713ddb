"""`paintbench help`: the topics, or one of them. No shop's data is opened."""

from __future__ import annotations

from argparse import Namespace

from bench.commands.core.console import Report
from bench.commands.core.quantities import unreadable
from bench.help_topics import Topic, read_topic, topic_names

FORMS = ("product", "route")
"""What is typed as a text: its keys are a topic too."""


def topic_name(text: str) -> str:
    """Read a topic's name. Raises ArgumentTypeError that lists the topics."""
    names = (*topic_names(), *FORMS)
    if text not in names:
        expected = f"one of {', '.join(names)}; about a command: paintbench COMMAND --help"
        raise unreadable(text, expected)
    return text


def explain(args: Namespace) -> Report:
    """Report the topic that was asked for; without one, what topics there are."""
    if args.topic in FORMS:
        return _keys(args.topic)
    if args.topic is not None:
        topic = read_topic(args.topic)
        return Report(_data(topic), (topic.title, *topic.lines))
    topics = [read_topic(name) for name in topic_names()]
    listed = [f"  {topic.name:<17} {topic.title}" for topic in topics]
    return Report(
        {"topics": [{"topic": topic.name, "title": topic.title} for topic in topics]},
        [
            *("topics:", *listed, ""),
            f"the keys of a text form: {', '.join(FORMS)}",
            *("", "paintbench help TOPIC shows one of them"),
        ],
    )


def _keys(form: str) -> Report:
    """Report the keys of a product's or a route's text."""
    from bench.shop.seeds.key_list import key_lines, key_rows
    from bench.shop.seeds.seed_files import folder, load

    shipped = load(folder())
    title = f"The keys of a {form}'s text, for paintbench set-{form}"
    return Report(
        {"form": form, "keys": key_rows(form, shipped)}, [title, "", *key_lines(form, shipped)]
    )


def _data(topic: Topic) -> dict[str, str]:
    return {"topic": topic.name, "title": topic.title, "text": "\n".join(topic.lines)}

"""`paintbench help`: the topics, or one of them. No shop's data is opened."""

from __future__ import annotations

from argparse import Namespace

from bench.commands.core.console import Report
from bench.commands.core.quantities import unreadable
from bench.help_topics import Topic, read_topic, topic_names


def topic_name(text: str) -> str:
    """Read a topic's name. Raises ArgumentTypeError that lists the topics."""
    if text not in topic_names():
        expected = f"one of {', '.join(topic_names())}; about a command: paintbench COMMAND --help"
        raise unreadable(text, expected)
    return text


def explain(args: Namespace) -> Report:
    """Report the topic that was asked for; without one, what topics there are."""
    if args.topic is not None:
        topic = read_topic(args.topic)
        return Report(_data(topic), (topic.title, *topic.lines))
    topics = [read_topic(name) for name in topic_names()]
    listed = [f"  {topic.name:<17} {topic.title}" for topic in topics]
    return Report(
        {"topics": [{"topic": topic.name, "title": topic.title} for topic in topics]},
        ["topics:", *listed, "", "paintbench help TOPIC shows one of them"],
    )


def _data(topic: Topic) -> dict[str, str]:
    return {"topic": topic.name, "title": topic.title, "text": "\n".join(topic.lines)}

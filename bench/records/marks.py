"""Telling by its beginning which form a file is of, so that only an earlier one is written over."""

from __future__ import annotations

import re

from bench.records.as_ical import HEAD

LABEL_END = "-- paintbench label"
"""The last line of a label, which begins with whatever the part is called."""

_WRITTEN = r"written \d{4}-\d\d-\d\d \d\d:\d\d\n={79}\n"
_MARKS = (
    re.compile(r'\{\s*"form": "paintbench [a-z]+"'),
    re.compile(re.escape(HEAD)),
    re.compile(r'"tag","part",[a-z0-9_",]+\r\n'),
    re.compile(r"# [A-Z ]+, tag "),
    re.compile(rf"[A-Z ]+, tag (?=.{{1,60}} {_WRITTEN})"),
    re.compile(rf"[A-Z ]+ (?={_WRITTEN})"),
    re.compile(r"<!DOCTYPE html>\n(?:<.*>\n){4}<title>[A-Za-z ]+, tag "),
)
"""Of JSON, iCalendar, CSV, Markdown, two kinds of text, and HTML."""


def mark_of(text: str) -> str:
    """Give what tells a form of ours from any other; nothing where it is none of them.

    text: a whole file, or its first 4,096 bytes: a label, 24 columns wide, is shorter.

    >>> mark_of('"tag","part"\\r\\n') == "", mark_of("my own notes")
    (True, '')
    """
    if text.endswith(f"\n{LABEL_END}\n"):
        return LABEL_END
    found = next(filter(None, (mark.match(text) for mark in _MARKS)), None)
    return found[0] if found else ""

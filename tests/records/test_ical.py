"""Windows as iCalendar, read back by the icalendar package and held against RFC 5545."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import icalendar
import pytest

from bench.process.ahead.upcoming import WARNED, UpcomingEvent
from bench.process.clocks.edges import Edge
from bench.records.as_ical import ical
from bench.records.plain_text import plain
from bench.shop.queries.lookahead import UpcomingEvents

from .making import CONTROL, HOSTILE

NOW = datetime(2025, 6, 9, 8, 0, 0, tzinfo=UTC)


def ringed(text: str = "tag 1 Frame: opens", *, doubtful: bool = False) -> UpcomingEvents:
    """One of each kind, an hour apart."""
    rings = tuple(
        UpcomingEvent(f"1/{n}", kind, Edge(NOW + timedelta(hours=n + 1), "opening"), text, text)
        for n, kind in enumerate(WARNED)
    )
    return UpcomingEvents(NOW, "a shop", rings, doubtful, sequence=7)


def later(edge: Edge) -> Edge:
    return replace(edge, at=edge.at + timedelta(days=1))


def events(told: str) -> list[icalendar.Event]:
    calendar = icalendar.Calendar.from_ical(told)
    assert calendar.errors == []
    return list(calendar.walk("VEVENT"))


def test_a_calendar_has_what_the_standard_asks_of_it() -> None:
    # RFC 5545, 3.6 and 3.6.1 (from memory): PRODID and VERSION once; UID, DTSTAMP and DTSTART in each.
    told = ical(ringed())
    assert told.startswith("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:")
    assert told.endswith("END:VCALENDAR\r\n")
    found = events(told)
    assert len(found) == len(WARNED)
    for n, event in enumerate(found):
        assert event.errors == []
        assert event.decoded("DTSTAMP") == NOW
        assert event.decoded("DTSTART") == NOW + timedelta(hours=n + 1)
        assert event.decoded("DTSTART").tzinfo is not None
    assert len({str(event["UID"]) for event in found}) == len(found)


def test_every_event_rings_as_long_before_as_its_kind_says() -> None:
    # RFC 5545, 3.6.6 (from memory): a DISPLAY alarm has ACTION, TRIGGER and DESCRIPTION.
    minutes = [(0,), (60, 15), (0,), (30, 0), (15,), (15,)]
    for event, each in zip(events(ical(ringed())), minutes, strict=True):
        before = [timedelta(minutes=minute) for minute in each]
        alarms = event.walk("VALARM")
        assert [alarm.decoded("TRIGGER") for alarm in alarms] == [-span for span in before]
        assert {str(alarm["ACTION"]) for alarm in alarms} == {"DISPLAY"}
        assert all(alarm["DESCRIPTION"] for alarm in alarms)


@pytest.mark.parametrize("what", [*HOSTILE, *CONTROL])
def test_whatever_was_typed_is_read_back_letter_by_letter(what: str) -> None:
    text = {**HOSTILE, **CONTROL}[what]
    for event in events(ical(ringed(text))):
        assert str(event["SUMMARY"]) == plain(text)
        assert str(event["DESCRIPTION"]) == plain(text)
        assert all(str(alarm["DESCRIPTION"]) == plain(text) for alarm in event.walk("VALARM"))


@pytest.mark.parametrize("text", ["x" * 1000, "塗" * 400, "é, " * 300, "a" * 61 + "é" * 20])
def test_no_line_is_longer_than_75_octets_and_no_letter_is_torn(text: str) -> None:
    # RFC 5545, 3.1 (source seen).
    raw = ical(ringed(text)).encode()
    lines = raw.split(b"\r\n")
    assert max(map(len, lines)) == 75
    for line in lines:
        line.decode()
    assert not any(b"\n" in line or b"\r" in line for line in lines)
    # The package takes spaces at the end off.
    assert str(events(raw.decode())[0]["SUMMARY"]).strip() == text.strip()


def test_the_same_bench_gives_the_same_calendar_and_other_hours_the_same_names() -> None:
    assert ical(ringed()) == ical(ringed())
    moved = UpcomingEvents(
        NOW,
        "a shop",
        tuple(UpcomingEvent(r.key, r.kind, later(r.edge), "b", "b") for r in ringed().rings),
        False,
        7,
    )
    assert [e["UID"] for e in events(ical(moved))] == [e["UID"] for e in events(ical(ringed()))]
    other = replace(ringed(), shop_key="another shop")
    assert not {str(e["UID"]) for e in events(ical(other))} & {
        str(e["UID"]) for e in events(ical(ringed()))
    }


def test_while_the_clock_is_wrong_every_event_says_so() -> None:
    told = events(ical(ringed(doubtful=True)))
    assert all(str(event["SUMMARY"]).startswith("CLOCK WRONG, at least: ") for event in told)


def test_a_calendar_has_its_name_and_every_event_its_revision() -> None:
    """NAME: RFC 7986, 5.1; SEQUENCE: RFC 5545, 3.8.7.4 (both from memory)."""
    for tag, name in (("", "paintbench"), ("4b", "paintbench tag 4b")):
        text = ical(replace(ringed(), tag=tag))
        calendar = icalendar.Calendar.from_ical(text)
        assert (str(calendar["NAME"]), str(calendar["X-WR-CALNAME"])) == (name, name)
        assert {event["SEQUENCE"] for event in events(text)} == {7}


@pytest.mark.parametrize("text", ["tag 1 Frame: opens", "塗装, " * 40, HOSTILE["calendar"]])
def test_what_went_is_cancelled_under_its_name_until_its_hour_is_over(text: str) -> None:
    """STATUS: RFC 5545, 3.8.1.11 (from memory)."""
    first = ringed(text)
    written = ical(first)
    fewer = replace(first, rings=first.rings[:2], sequence=9)
    again = ical(fewer, written)
    before, after = events(written), events(again)
    assert [e["UID"] for e in after] == [e["UID"] for e in before]
    assert [str(e.get("STATUS", "")) for e in after] == ["", "", *["CANCELLED"] * 4]
    for was, gone in zip(before[2:], after[2:], strict=True):
        assert (gone.decoded("DTSTART"), gone["SUMMARY"]) == (
            was.decoded("DTSTART"),
            was["SUMMARY"],
        )
        assert gone["SEQUENCE"] == 9 > was["SEQUENCE"]
        assert gone.decoded("DTSTAMP") == NOW
        assert not gone.walk("VALARM")
    # It is still cancelled in the next file, and comes back where it is done again.
    assert ical(fewer, again) == again
    assert not any("STATUS" in event for event in events(ical(replace(first, sequence=12), again)))
    # At NOW + 4 h the fourth is over: what has rung is not taken back.
    late = replace(fewer, now=NOW + timedelta(hours=4))
    assert [str(e.get("STATUS", "")) for e in events(ical(late, again))] == [
        "",
        "",
        "CANCELLED",
        "CANCELLED",
    ]


def test_a_calendar_of_one_part_takes_back_nothing_of_the_bench() -> None:
    nothing = replace(ringed(), rings=())
    assert ical(replace(nothing, tag="4"), ical(ringed())) == ""
    assert len(events(ical(nothing, ical(ringed())))) == len(WARNED)
    assert (
        ical(nothing) == ical(nothing, "BEGIN:VCALENDAR\r\nNAME:paintbench\r\nBEGIN:VEVENT") == ""
    )

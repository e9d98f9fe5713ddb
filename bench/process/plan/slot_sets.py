"""Sets of slots as one int, and what of them is left where something is in the way."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

DIGITS = bytes.maketrans(b"\x00\x01", b"01")


def between(since: int, until: int) -> int:
    """Return the slots from ``since`` up to, not with, ``until``; none of them before slot 0."""
    if since < 0:
        since = 0
    return (1 << until) - (1 << since) if until > since else 0


def first(slots: int) -> int:
    """Return the first slot of a set that is not empty."""
    return (slots & -slots).bit_length() - 1


def last(slots: int) -> int:
    """Return the last slot of a set that is not empty."""
    return slots.bit_length() - 1


def next_in(slots: int, since: int) -> int | None:
    """Return the first slot of a set from ``since`` on, None where there is none."""
    rest = slots >> since if since > 0 else slots
    return None if not rest else first(rest) + max(0, since)


def last_in(slots: int, until: int) -> int | None:
    """Return the last slot of a set up to and with ``until``, None where there is none."""
    rest = slots & between(0, until + 1)
    return last(rest) if rest else None


def members(slots: int) -> Iterator[int]:
    """Yield the slots of a set in order."""
    for since, until in runs(slots):
        yield from range(since, until)


def runs(slots: int) -> Iterator[tuple[int, int]]:
    """Yield the stretches of a set, each as its first slot and the one after its last."""
    at = 0
    while slots:
        skip = first(slots)
        slots >>= skip
        count = first(~slots)
        yield at + skip, at + skip + count
        slots >>= count
        at += skip + count


def marked(slots: Iterable[int]) -> int:
    """Return some slots as a set."""
    found = 0
    for slot in slots:
        found |= 1 << slot
    return found


def slots_where(marks: Iterable[bool]) -> int:
    """Return the slots that are marked, the first mark for slot 0."""
    return int(bytes(marks)[::-1].translate(DIGITS) or b"0", 2)


def short_of(capacity: Sequence[int], amount: int) -> int:
    """Return the slots in which there is less than ``amount`` of something."""
    digits = "".join("1" if left < amount else "0" for left in reversed(capacity))
    return int(digits, 2)


def starts_meeting(blocked: int, before: int, length: int) -> int:
    """Return the starts from which work would meet a blocked slot.

    The work takes from ``before`` slots before its start to ``length`` slots after it.
    """
    width = before + length
    if width <= 0 or not blocked:
        return 0
    met, reach = blocked << before, 1
    while reach < width:
        step = min(reach, width - reach)
        met |= met >> step
        reach += step
    return met

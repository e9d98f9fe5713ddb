"""What is typed wrongly is refused with its reason, and nothing is changed by it."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from bench.shop.core.transaction import Shop
from bench.testing import ManualClock

from ..running import Paintbench, Ran

PLACE = ("place", "1", "--route", "zinc-new", "--shape", "frame", "--by", "Kit")
LONG = "n" * 300
ESCAPES = "\x1b[2J\x1b]0;gone\x07\x00\x7f\x9b31m"


@pytest.fixture
def placed(paintbench: Paintbench) -> Paintbench:
    """A frame on stand 1, and the program to work on it."""
    assert paintbench(*PLACE).code == 0
    return paintbench


def told(ran: Ran) -> str:
    """The reason, checked to be one line for people and nothing else."""
    assert ran.out == ""
    assert ran.err.count("\n") == 1
    assert ran.err.strip().isprintable()
    return ran.err


REFUSED = [
    (("begin", "9"), "no stand 9: stands run from 1 to 6"),
    (("begin", "0"), "no stand 0: stands run from 1 to 6"),
    (("begin", "-1"), "no stand -1: stands run from 1 to 6"),
    (("begin", "2"), "stand 2 is empty: place a part on it first"),
    (("begin", "--tag", "77"), "no tag 77: read the steel disc again"),
    (("begin", "--tag", ""), "no tag : read the steel disc again"),
    (PLACE[:-2], "stand 1 is occupied (tag 1 Frame): choose an empty one"),
    (("finish", "1"), "tag 1 Frame is not begun (File the zinc spikes): start it first"),
    (("begin", "1", "--ago", "-5min"), "that is in the future (07:35): now is 07:30"),
    (("reading", "--air", "18C", "--ago", "-1h"), "that is in the future (08:30): now is 07:30"),
    (("mix", "etch-primer", "--need", "1l", "--ago=-1h"), "that is in the future (08:30)"),
    (("pass", "1"), "tag 1 Frame: there is nothing to test now (OPEN)"),
    (("move", "1", "--to", "9"), "no stand 9: stands run from 1 to 6"),
    (("move", "1", "--to", "1"), "tag 1 is on stand 1 already"),
    (("hold", "1", "--reason", ""), "the reason is empty"),
    (("hold", "1", "--reason", LONG), "the reason is too long (300 characters): at most 60"),
    (("hold", "1", "--reason", ESCAPES), "the reason has a control character ('\\x1b')"),
    (("skip", "1", "--reason", "a\nb"), "the reason has a control character ('\\n')"),
    (("release", "1"), "tag 1 Frame is not on hold"),
    (("rework", "1", "--defect", "run"), "tag 1 Frame has no coat yet"),
    (("rework", "1", "--defect", "run", "--back-to", "99"), "no step 99: steps run from 1 to 9"),
    (("rework", "9", "--defect", "run", "--back-to", "1"), "no stand 9"),
    (("join", "1"), "tag 1 Frame: nobody is on it"),
    (("another-coat", "1"), "tag 1 Frame is not curing (File the zinc spikes)"),
    (("earlier", "1", "--minutes", "15"), "tag 1 Frame: nothing has happened to it yet"),
    (("mix", "nectar", "--need", "1l"), "no product 'nectar': one of"),
    (("mix", "etch-primer"), "how much Zinc etch primer 1:1 is not said"),
    (("mix", "etch-primer", "--need", "0ml"), "the mix cannot be worked out"),
    (("mix", "etch-primer", "--need", "-1ml"), "the mix cannot be worked out"),
    (("mix", "etch-primer", "--need", "1000000000l"), "the mix cannot be worked out"),
    (("mix", "gloss", "--need", "1l", "--thinner", "40%"), "thinner outside what the product"),
    (("bin", "Z"), "no open pot Z"),
    (("reading", "--air", "80C"), "air 80 C: from -30 to 50 C; read it again"),
    (
        ("reading", "--air", "18C", "--rh", "120%"),
        "humidity 120 %: must be more than 0, up to 100 %",
    ),
]


@pytest.mark.parametrize(("words", "reason"), REFUSED)
def test_a_rule_that_says_no_is_told_with_its_figure_and_changes_nothing(
    placed: Paintbench, words: tuple[str, ...], reason: str
) -> None:
    before = placed("journal", "--json").out, placed("status", "--json").out
    ran = placed(*words, "--by", "Kit")
    assert ran.code == 1
    assert told(ran).startswith(reason)
    assert (placed("journal", "--json").out, placed("status", "--json").out) == before


OF_A_PART = [
    (("--count", "0"), "a lot of 0: from 1 to 999"),
    (("--count", "-3"), "a lot of -3: from 1 to 999"),
    (("--count", "1000"), "a lot of 1000: from 1 to 999"),
    (("--name", LONG), "the name is too long (300 characters): at most 60"),
    (("--name", ESCAPES), "the name has a control character ('\\x1b')"),
    (("--name", "\u202egnirts"), "the name has a control character ('\\u202e')"),
    (("--tag", "123456789"), "the tag is too long (9 characters): at most 8"),
    (("--tag", "1\t2"), "the tag has a control character ('\\t')"),
    (("--job", LONG), "the job is too long"),
    (("--route", ESCAPES), "no route '\\x1b[2J\\x1b]0;gone\\x07\\x00\\x7f\\x9b31m': one of"),
    (("--shape", "cube"), "no shape 'cube': one of frame, axle"),
]


@pytest.mark.parametrize(("words", "reason"), OF_A_PART)
def test_a_part_with_a_wrong_count_or_text_is_not_placed(
    paintbench: Paintbench, words: tuple[str, ...], reason: str
) -> None:
    ran = paintbench(*PLACE, *words)
    assert ran.code == 1
    assert told(ran).startswith(reason)
    assert paintbench("status", "--json").json()["stands"][0]["state"] == "empty"


def test_a_time_before_the_step_before_is_refused(placed: Paintbench, clock: ManualClock) -> None:
    placed("begin", "1", "--by", "Kit")
    clock.advance(minutes=30)
    placed("finish", "1", "--by", "Kit")
    clock.advance(minutes=10)
    ran = placed("begin", "1", "--ago", "20min", "--by", "Kit")
    assert ran.code == 1
    assert told(ran).startswith("that is before the last thing done to it (07:50 is before 08:00)")


def test_a_tag_that_is_taken_is_refused_with_where_it_is(placed: Paintbench) -> None:
    ran = placed(*PLACE, "--tag", "1")
    assert told(ran).startswith("stand 1 is occupied")
    ran = placed("place", "2", *PLACE[2:], "--tag", "1")
    assert told(ran) == "tag 1 is taken (Frame, on stand 1): use a free tag\n"


def test_who_did_it_has_to_be_said_where_there_are_two_painters(placed: Paintbench) -> None:
    ran = placed("begin", "1")
    assert (ran.code, told(ran)) == (1, "the painter is not named: --by Kit or --by Mo\n")
    ran = placed("begin", "1", "--by", "Nobody")
    assert (ran.code, told(ran)) == (1, "no painter 'Nobody': one of Kit, Mo\n")
    assert placed("begin", "1", "--by", "mo").code == 0


def test_a_painter_alone_need_not_say_who_it_is(anywhere: Paintbench) -> None:
    assert anywhere("open", "--painters", "Ada", "--stands", "2").code == 0
    ran = anywhere("place", "2", "--route", "zinc-new", "--shape", "plate")
    assert (ran.code, ran.err) == (0, "")
    assert anywhere("journal", "--json").json()["journal"][0]["painter"] == "Ada"


WRONG_USAGE = [
    ((), "one of the arguments STAND --tag is required"),
    (("1", "--tag", "1"), "not allowed with argument"),
    (("one",), "read 'one'; wanted a stand's number, a whole number such as 3"),
    (("1" * 30,), "wanted a stand's number"),
    (("1.5",), "wanted a stand's number"),
    (("\u0661",), "wanted a stand's number"),
    (("1", "--ago", "20"), "'20' has no unit: type a time, such as 15 min"),
    (("1", "--ago", "soon"), "read 'soon', which is not a number with a unit; wanted a time"),
    (("1", "--ago", "5 kg"), "read '5 kg'; wanted a time"),
    (("1", "--ago", "5 ("), "wanted a time"),
    (("1", "--ago", "1/0 s"), "wanted a time"),
    (("1", "--ago", "5 s/0"), "wanted a time"),
    (("1", "--ago", "5 s**9**9**9"), "wanted a time"),
    (("1", "--ago", "1e400 s"), "wanted a time"),
    (("1", "--ago", "5000 d"), "read '5000 d'; wanted a time within a year"),
    (("1", ESCAPES), "unrecognized arguments: \\x1b[2J"),
    (("1", "--ago", "5 " + ESCAPES), "wanted a time"),
    (("1", "--overr", "x"), "unrecognized arguments: --overr"),
]


@pytest.mark.parametrize(("words", "reason"), WRONG_USAGE)
def test_wrong_usage_ends_with_2_and_says_what_was_read(
    placed: Paintbench, words: tuple[str, ...], reason: str
) -> None:
    ran = placed("begin", "--by", "Kit", *words)
    assert (ran.code, ran.out) == (2, "")
    assert reason in ran.err
    assert "Traceback" not in ran.err
    assert all(line.isprintable() for line in ran.err.splitlines())


OTHER_WRONG_USAGE = [
    ("dance",),
    ("reading", "--by", "Kit"),
    ("reading", "--air", "18", "--by", "Kit"),
    ("reading", "--air", "18 %", "--by", "Kit"),
    ("reading", "--air", "18C", "--rh", "65", "--by", "Kit"),
    ("mix", "etch-primer", "--need", "600", "--by", "Kit"),
    ("mix", "etch-primer", "--need", "600ml", "--left", "base=1l", "--by", "Kit"),
    ("mix", "etch-primer", "--left", "340ml", "--by", "Kit"),
    ("mix", "etch-primer", "--left", "base=340ml,base=1l", "--by", "Kit"),
    ("mix", "etch-primer", "--poured", "base=1l,base=2l", "--by", "Kit"),
    ("earlier", "1", "--minutes", "90 s", "--by", "Kit"),
    ("place", "1", "--route", "zinc-new", "--by", "Kit"),
    ("journal", "--last", "few"),
]


@pytest.mark.parametrize("words", OTHER_WRONG_USAGE)
def test_a_figure_or_word_that_cannot_be_meant_is_wrong_usage(
    placed: Paintbench, words: tuple[str, ...]
) -> None:
    ran = placed(*words)
    assert (ran.code, ran.out) == (2, "")
    error, usage = ran.err.splitlines()[:2]
    assert ": error: " in error
    assert usage.startswith("usage: paintbench")


@pytest.mark.parametrize(
    ("painters", "stands", "reason"),
    [
        ("", "6", "a painter's name is empty"),
        ("Ada,ada", "6", "the painters' names (Ada, ada): one name each, all different"),
        (LONG, "6", "a painter's name is too long"),
        ("Ada\x1b[2J", "6", "a painter's name has a control character"),
        ("Ada,Ben", "0", "0 stands: from 1 to 48"),
        ("Ada,Ben", "49", "49 stands: from 1 to 48"),
    ],
)
def test_a_shop_is_not_opened_with_wrong_names_or_stands(
    anywhere: Paintbench, painters: str, stands: str, reason: str
) -> None:
    ran = anywhere("open", "--painters", painters, "--stands", stands)
    assert ran.code == 1
    assert told(ran).startswith(reason)
    assert told(anywhere("status")).startswith("nobody has opened this shop yet")


def test_a_shop_is_opened_only_once(shop: Shop, paintbench: Paintbench) -> None:
    ran = paintbench("open", "--painters", "Ada", "--stands", "3")
    assert (ran.code, told(ran)) == (1, "this shop is open already: nothing was changed\n")


def test_a_mistyped_path_is_refused_and_no_file_is_made(
    anywhere: Paintbench, tmp_path: Path
) -> None:
    place = tmp_path / "shpo.db"
    ran = anywhere("--db", str(place), "status")
    assert ran.code == 1
    assert told(ran).startswith("no shop's data here")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("words", [("status",), ("open", "--painters", "Ada", "--stands", "2"), ()])
def test_a_data_directory_that_cannot_be_written_is_said_in_one_line(
    anywhere: Paintbench, tmp_path: Path, words: tuple[str, ...]
) -> None:
    """A file stands where the folder would be: the one obstacle that stops root as well."""
    (tmp_path / "xdg").write_text("a file")
    ran = anywhere(*words)
    assert ran.code == 1
    assert str(tmp_path / "xdg") in told(ran)
    assert (tmp_path / "xdg").read_text() == "a file"


def not_ours(path: Path, kind: str) -> None:
    """Write a file that is no shop's data."""
    if kind == "text":
        path.write_text("minutes of the rowing club\n" * 200)
    elif kind == "other program":
        with sqlite3.connect(path) as other:
            other.execute("CREATE TABLE boats (name TEXT)")
            other.execute("INSERT INTO boats VALUES ('Swan')")
        other.close()


@pytest.mark.parametrize("kind", ["text", "other program", "newer version"])
@pytest.mark.parametrize(
    "words", [("status",), ("check",), ("open", "--painters", "Ada", "--stands", "2"), ("demo",)]
)
def test_a_file_that_is_not_our_data_is_refused_and_not_touched(
    anywhere: Paintbench, tmp_path: Path, shop: Shop, data: Path, kind: str, words: tuple[str, ...]
) -> None:
    place = tmp_path / "given" / "file.db"
    place.parent.mkdir()
    if kind == "newer version":
        shop.store.close()
        data.rename(place)
        with sqlite3.connect(place) as newer:
            newer.execute("UPDATE schema_version SET version = 99")
        newer.close()
    else:
        not_ours(place, kind)
    before = place.read_bytes()
    ran = anywhere("--db", str(place), *words)
    assert ran.code == 1
    right = {"newer version": "update this program"}.get(kind, "give another path")
    assert told(ran).rstrip().endswith(right)
    assert place.read_bytes() == before
    assert list(place.parent.iterdir()) == [place]


@pytest.mark.parametrize(
    "words",
    [
        ("bin", "\udcff", "--by", "Kit"),
        ("flush", "\udcff", "--by", "Kit"),
        ("trace", "2-\udce4"),
        ("find", "--job", "M\udcfche"),
        ("sheet", "--tag", "\udcff"),
        (*PLACE, "--owner", "\udcff"),
        ("journal", "--tag", "\udcff"),
        ("begin", "1", "--by", "\ud800"),
        ("\udcff",),
    ],
)
def test_bytes_that_are_no_letters_are_wrong_usage(
    placed: Paintbench, words: tuple[str, ...]
) -> None:
    """A name in Latin-1 comes from the system as a lone surrogate (PEP 383)."""
    ran = placed(*words)
    assert ran.code == 2
    assert "wanted letters in UTF-8" in told(ran)


DEEP = f"a = {'[' * 5000}"
DIGITS = f"pot_life = {'9' * 6000}"


@pytest.mark.parametrize("words", [("set-product", "gloss"), ("set-route", "zinc-new")])
@pytest.mark.parametrize(
    ("text", "why"), [(DEEP, "brackets in brackets"), (DIGITS, "a figure of thousands of digits")]
)
def test_a_text_without_end_is_refused_in_a_line(
    paintbench: Paintbench, tmp_path: Path, words: tuple[str, ...], text: str, why: str
) -> None:
    file = tmp_path / "odd.toml"
    file.write_text(text)
    assert why in told(paintbench(*words, str(file), "--by", "Kit"))


LONG_PATH = "a" * 300


@pytest.mark.parametrize(
    "words",
    [
        *(("--db", LONG_PATH, word) for word in ("status", "check", "backups", "demo")),
        ("--db", LONG_PATH, "import", "shop.json"),
        ("--db", LONG_PATH, "restore", "shop.db"),
        ("export", LONG_PATH),
        ("backup", LONG_PATH),
        ("restore", LONG_PATH),
        ("import", LONG_PATH),
        ("sheet", "1", "-o", LONG_PATH),
        ("set-product", "gloss", LONG_PATH, "--by", "Kit"),
        ("set-route", "zinc-new", LONG_PATH, "--by", "Kit"),
        ("forecast", LONG_PATH, "--by", "Kit"),
        ("shop", "--backup-to", f"/{LONG_PATH}", "--by", "Kit"),
        ("shop", "--air-probe", f"/{LONG_PATH}", "--by", "Kit"),
    ],
    ids=lambda words: " ".join(words).replace(LONG_PATH, "LONG"),
)
def test_a_path_of_300_letters_is_refused_in_a_line(
    placed: Paintbench, words: tuple[str, ...]
) -> None:
    assert "file name too long" in told(placed(*words))


NOUGHTS = {"Arabic-Indic": 0x660, "Devanagari": 0x966, "wide": 0xFF10}
"""Where Unicode has the nought of some other figures."""

WITH_FIGURES = [
    ("reading", "--air", "15C"),
    ("begin", "1"),
    ("mix", "epoxy-primer", "--need", "600ml"),
    ("shop", "--hours", "Mon-Fri 07:30-17:30"),
    ("shop", "--holiday", "2026-12-24"),
    ("shop", "--holiday", "DTSTART:20260101 RRULE:FREQ=DAILY;COUNT=3"),
    ("set-clock", "2026-03-12 14:30"),
    ("sum", "mix", "4:1", "--need", "600ml"),
    ("sum", "dry", "60um", "--solids", "50%"),
]


@pytest.mark.parametrize("nought", NOUGHTS)
@pytest.mark.parametrize("words", WITH_FIGURES, ids=" ".join)
def test_figures_are_those_from_0_to_9_and_no_others(
    placed: Paintbench, words: tuple[str, ...], nought: str
) -> None:
    table = {ord(str(n)): NOUGHTS[nought] + n for n in range(10)}
    by = () if words[0] == "sum" else ("--by", "Kit")
    ran = placed(*(word.translate(table) for word in words), *by)
    assert ran.code in (1, 2)
    assert "Traceback" not in ran.err
    assert "paintbench stopped" not in ran.err

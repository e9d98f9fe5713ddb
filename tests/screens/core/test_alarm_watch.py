"""Alarms by keypad: they stay until answered, come back, wait for whoever was away, and sound.

10 to 15 min for the mordant, 10 min for the flash of a mist coat and the times after which an alarm
comes back are common practice without a source.
"""

from __future__ import annotations

import os
import subprocess
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from bench.app import Paintbench
from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.screens.core.alarm_watch import READ_S
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment.alarm_command import Sounder
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.settings.kiosk_limits import KioskLimits
from bench.shop.stock import pots
from bench.store.databases.database import open_store
from bench.store.schema.tables import SettingRow
from bench.testing import ManualClock
from tests.shop.doing import begin_over, read_20c

from ..driving import Hands, at_the_bench
from ..stock.test_mix import open_mix

WASH, MIST = 2, 4
"""So many steps of a new galvanised part are behind it when it is to be washed, or coated."""


def done(answer: Outcome | Refusal) -> None:
    assert isinstance(answer, Outcome), answer


def put(shop: Shop, stand: int, behind: int, name: str = "Irons", shape: str = "bracket") -> None:
    """A new galvanised part with its first steps behind it."""
    done(placement.place(shop, stand, "Kit", route="zinc-new", shape=shape, name=name))
    for _ in range(behind):
        done(holds_and_rework.skip(shop, stand, "Kit", "already done"))


def wash(shop: Shop, stand: int, name: str = "Irons") -> None:
    """Under the mordant since now."""
    put(shop, stand, WASH, name)
    read_20c(shop)
    done(steps.begin(shop, stand, "Kit"))


def mist(shop: Shop, stand: int, name: str = "Cradle") -> None:
    """Mist coat on since now: at 20 C it flashes off for ten minutes."""
    house(shop, day_c=20.0, night_c=20.0)
    put(shop, stand, MIST, name)
    done(begin_over(shop, stand, "Kit", "tested on the coupon"))
    done(steps.finish(shop, stand, "Kit", all_faces=True))


def house(shop: Shop, **more: object) -> None:
    """The shop's own settings, typed."""
    with shop.store.writing() as session:
        row = session.get(SettingRow, "house")
        assert row is not None
        row.value = {**row.value, **more}
        session.add(row)
        session.commit()


def top(hands: Hands) -> str:
    """The line of the alarm on the whole bench; empty when none is up."""
    row = hands.picture().splitlines()[1]
    return row.strip() if hands.app.alarms.known.up else ""


def first(hands: Hands) -> str:
    return hands.picture().splitlines()[0].strip()


def legend(hands: Hands) -> str:
    return hands.picture().splitlines()[-1]


# -- it stays until it is answered ----------------------------------------------


async def test_an_alarm_holds_the_top_line_until_enter_answers_it_and_is_back_two_minutes_later(
    shop: Shop, clock: ManualClock
) -> None:
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        assert top(hands) == ""
        await hands.let_pass(minutes=15)
        assert top(hands) == "RINSE NOW !!! stand 2 Irons: rinse ALL NOW"
        assert "Enter answers" not in legend(hands), "nobody can have read it yet"
        await hands.let_pass(seconds=2)
        assert top(hands).endswith("Enter answers")
        assert " 2! RINSE NOW" in hands.picture()
        assert "Enter answers" in legend(hands)
        await hands.let_pass(minutes=1)
        assert top(hands).startswith("RINSE NOW")
        await hands.answer()
        assert top(hands) == ""
        assert " 2  RINSE NOW" in hands.picture()
        assert hands.said() == "answered: RINSE NOW stand 2; reminds again in 2 min"
        assert "Enter answers" not in legend(hands)
        await hands.let_pass(seconds=119)
        assert top(hands) == ""
        await hands.let_pass(seconds=1)
        assert top(hands).startswith("RINSE NOW")


async def test_an_alarm_takes_away_what_was_refused_long_before_it(
    shop: Shop, clock: ManualClock
) -> None:
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("2 + 2")
        assert "leave it on, wet" in hands.said()
        await hands.let_pass(minutes=9)
        assert "leave it on, wet" in hands.said(), "nothing has changed since"
        await hands.let_pass(minutes=1)
        assert top(hands).startswith("RINSE")
        assert "leave it on" not in hands.picture()


async def test_other_keys_go_on_working_and_the_deed_settles_it(
    shop: Shop, clock: ManualClock
) -> None:
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=12)
        assert top(hands).startswith("RINSE !>> stand 2 Irons: rinse ALL by")
        await hands.press("2 +")
        assert top(hands) == ""
        assert "Mordant wash ALL finished" in hands.said()
        await hands.let_pass(minutes=9)
        assert top(hands) == ""
        await hands.let_pass(minutes=1)
        assert top(hands).startswith("TEST >?< stand 2 Irons: test: dark and even all over")


async def test_two_at_once_are_in_the_order_of_harm_not_of_time(
    shop: Shop, clock: ManualClock
) -> None:
    mist(shop, 1)
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=9)
        await hands.press("3 0")
        await hands.let_pass(minutes=2)
        assert [a.want.word for a in hands.app.alarms.known.up] == ["RINSE", "TEST"]
        await hands.let_pass(minutes=5)
        assert top(hands).startswith("RINSE NOW !!! stand 2")
        assert "+1 alarm" in top(hands)
        await hands.answer()
        assert top(hands).startswith("TEST >?< stand 1 Cradle")
        await hands.answer()
        assert top(hands) == ""


async def test_a_pot_past_its_life_alarms_until_it_is_binned(
    shop: Shop, clock: ManualClock
) -> None:
    done(pots.mix(shop, "gloss", "Kit", known=MixStart(need_ml=300.0)))
    async with at_the_bench(shop, clock) as hands:
        life = bench_view.read_bench(shop).pots[0].bin_by
        assert life is not None
        clock.set(life)
        await hands.let_pass(seconds=0)
        assert top(hands).startswith("BIN !!! pot A Two-pack gloss 2:1: bin it")
        await hands.press("/ 3 2 enter")
        assert top(hands) == ""


async def test_what_is_being_ruined_turns_the_header_over(shop: Shop, clock: ManualClock) -> None:
    def header_styles(hands: Hands) -> set[str]:
        return {piece.style for piece in hands.app.screen.canvas._lines[0]}  # type: ignore[attr-defined]

    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=12)
        assert "head" in header_styles(hands), "RINSE: nothing is ruined yet"
        await hands.let_pass(minutes=4)
        assert header_styles(hands) == {"", "ruined"}, "the room keeps its own colour"
        await hands.answer()
        assert "head" in header_styles(hands)


async def test_a_part_on_hold_does_not_nag(shop: Shop, clock: ManualClock) -> None:
    mist(shop, 1)
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 1 1 0 2 / 1 1 0")
        await hands.let_pass(minutes=20)
        assert [a.want.word for a in hands.app.alarms.known.up] == ["RINSE NOW"]


async def test_started_again_what_still_holds_is_told_again(
    shop: Shop, clock: ManualClock, data: Path
) -> None:
    """Answers are kept in memory only."""
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=16)
        await hands.answer()
        assert top(hands) == ""
    again = Shop(open_store(str(data)), clock, "test")
    async with at_the_bench(again, clock) as hands:
        assert top(hands).startswith("RINSE NOW")
    again.store.close()


@pytest.mark.parametrize("size", [(20, 5), (40, 10), (60, 20), (80, 24), (132, 40), (200, 50)])
async def test_at_every_size_the_alarm_is_the_second_line_and_across(
    shop: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    wash(shop, 2)
    async with at_the_bench(shop, clock, size) as hands:
        await hands.let_pass(minutes=16)
        rows = hands.picture().splitlines()
        assert rows[1].startswith(" RINSE NOW !!! stand 2"[: size[0] - len("..")])
        assert len(rows) <= size[1]
        canvas = hands.app.screen.canvas  # type: ignore[attr-defined]
        (piece,) = canvas._lines[1]
        assert (piece.style, len(piece.text)) == ("alarm", size[0])


# -- Enter ----------------------------------------------------------------------


@pytest.mark.parametrize("when", ["before", "after"])
async def test_a_stand_chosen_before_or_after_it_rose_waits_until_it_is_answered(
    shop: Shop, clock: ManualClock, when: str
) -> None:
    put(shop, 1, 0, "Frame")
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1" if when == "before" else "0")
        await hands.let_pass(minutes=16)
        await hands.press("1" if when == "after" else "")
        await hands.let_pass(seconds=2)
        assert "Enter its page" not in hands.picture()
        await hands.answer()
        assert "answered: RINSE NOW" in hands.said()
        await hands.press("enter")
        assert "tag 1  Frame" in hands.picture()


async def test_an_enter_pressed_before_anybody_could_read_the_alarm_does_not_answer_it(
    eight_stands: Shop, clock: ManualClock
) -> None:
    wash(eight_stands, 2)
    async with at_the_bench(eight_stands, clock) as hands:
        await hands.let_pass(minutes=16)
        hands.app.simulate_key("enter")
        await hands.settled()
        assert top(hands).startswith("RINSE NOW")
        assert "page 2 of 2" in hands.picture()


async def test_the_help_page_says_what_enter_does_just_now(shop: Shop, clock: ManualClock) -> None:
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=16)
        clock.hold(READ_S)
        await hands.play(
            ("?", "Enter  answers"),
            ("9", "! an alarm nobody answered"),
        )


# -- on the other screens -------------------------------------------------------


async def test_late_while_somebody_mixes_and_no_figure_is_lost(
    shop: Shop, clock: ManualClock
) -> None:
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "etch-primer", "6 0")
        await hands.press("0 enter")
        await hands.press("* 1 7 1 6 0")
        await hands.let_pass(minutes=16)
        assert first(hands).startswith("RINSE NOW !!! stand 2 Irons: rinse ALL NOW")
        await hands.answer()
        assert "60_" in hands.picture(), "Enter was for the alarm"
        assert not first(hands).startswith("RINSE NOW")
        await hands.press("0 enter 1")
        assert "in all 600 ml" in hands.picture()
        await hands.press("enter")
        assert bench_view.read_bench(shop).pots[0].total_ml == pytest.approx(600)


KEYS = ("/", "1 /", "1 / 3", "1 enter", "1 -", ".", "?", "r", "0 0", "3 +", "* 1 7", "1 / 5")
"""To a screen of each kind."""


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_every_screen_has_the_alarm_on_top_and_its_own_keys_below(
    shop: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    wash(shop, 1, "Frame")
    async with at_the_bench(shop, clock, size) as hands:
        for keys in KEYS:
            await hands.home()
            await hands.answer_all()
            await hands.press(keys)
            without = hands.picture().splitlines()
            await hands.let_pass(minutes=16)
            rows = hands.picture().splitlines()
            assert rows[0].startswith(" RINSE NOW !!! stand 1 Frame"), keys
            assert len(rows) == size[1], keys
            assert rows[1].split()[:2] == without[0].split()[:2], keys
            assert rows[-1] == without[-1], keys


# -- while you were away --------------------------------------------------------


async def test_after_lunch_the_list_says_what_came_up_and_how_late_it_is(
    shop: Shop, clock: ManualClock
) -> None:
    mist(shop, 1)
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("3")
        await hands.let_pass(minutes=9)
        await hands.let_pass(minutes=33)
        picture = hands.picture()
        assert (
            "while you were away: stand 2 RINSE NOW 27 min ago, stand 1 TEST 32 min ago" in picture
        )
        await hands.press("0")
        assert "while you were away: stand 2" in hands.picture(), "it stays when somebody is back"
        await hands.answer()
        assert "while you were away" not in hands.picture()
        assert top(hands) == ""
        assert hands.said() == "answered: 2 alarms; what is not done comes back"


async def test_what_was_answered_is_not_on_the_list_again(shop: Shop, clock: ManualClock) -> None:
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=16)
        await hands.answer()
        await hands.let_pass(minutes=30)
        assert top(hands).startswith("RINSE NOW")
        assert "while you were away" not in hands.picture()


async def test_what_came_up_while_somebody_pressed_keys_is_not_on_the_list(
    shop: Shop, clock: ManualClock
) -> None:
    mist(shop, 1)
    async with at_the_bench(shop, clock) as hands:
        for _ in range(5):
            await hands.let_pass(minutes=5)
            await hands.press("3")
        assert top(hands).startswith("TEST")
        assert "while you were away" not in hands.picture()


async def test_ten_minutes_without_a_key_are_away_and_a_second_less_is_not(
    shop: Shop, clock: ManualClock
) -> None:
    """The flash ends five minutes after the last key. 10 min: common practice, no source."""
    mist(shop, 1)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=5)
        await hands.press("3")
        await hands.let_pass(minutes=9, seconds=59)
        assert top(hands).startswith("TEST")
        assert "while you were away" not in hands.picture()
        await hands.let_pass(seconds=1)
        assert "while you were away: stand 1 TEST" in hands.picture()


async def test_at_the_start_it_is_counted_from_the_last_line_of_the_journal(
    shop: Shop, clock: ManualClock
) -> None:
    mist(shop, 1)
    clock.advance(minutes=15)
    wash(shop, 2)
    clock.advance(minutes=16)
    async with at_the_bench(shop, clock) as hands:
        assert "while you were away: stand 2 RINSE NOW 1 min ago" in hands.picture()
        await hands.answer()
        assert top(hands).startswith("TEST >?< stand 1"), "that was so before"


async def test_with_more_room_each_has_a_line_of_its_own_and_is_not_told_twice(
    shop: Shop, clock: ManualClock
) -> None:
    mist(shop, 1)
    wash(shop, 2)
    async with at_the_bench(shop, clock, (132, 40)) as hands:
        await hands.let_pass(minutes=42)
        rows = [row.strip() for row in hands.picture().splitlines()[:8]]
        assert rows[2:4] == [
            "2 alarms while you were away",
            "stand 2 RINSE NOW 27 min ago, Irons: rinse ALL NOW",
        ]
        assert rows[4].startswith("stand 1 TEST 32 min ago, Cradle: test: touch the paint")
        assert hands.picture().count("Cradle: test") == 1


# -- bell and sounder -----------------------------------------------------------


def script(folder: Path, text: str) -> str:
    """A command of the shop's own."""
    file = folder / "sounder"
    file.write_text(f"#!/bin/sh\n{text}\n", encoding="utf-8")
    file.chmod(0o755)
    return str(file)


async def until(hands: Hands, what: Callable[[], bool]) -> None:
    await hands.wait_until(what)


async def test_the_bell_rings_once_when_an_alarm_is_raised_and_only_if_it_is_wanted(
    shop: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    rung: list[str] = []
    monkeypatch.setattr(Paintbench, "bell", lambda app: rung.append("bell"))
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=12)
        assert rung == [], "it is off until the shop wants it"
        house(shop, bell=True)
        await hands.let_pass(minutes=4)
        assert rung == ["bell"]
        await hands.let_pass(seconds=30)
        assert rung == ["bell"]
        await hands.answer()
        await hands.let_pass(minutes=2)
        assert rung == ["bell", "bell"], "back, and heard again"


async def test_the_shops_own_command_gets_word_and_stand_without_a_shell(
    shop: Shop, clock: ManualClock, tmp_path: Path
) -> None:
    heard = tmp_path / "heard"
    command = script(tmp_path, f'printf "%s|" "$@" >> {heard}; echo >> {heard}; cat; echo noise')
    house(shop, alarm_command=[command, "$HOME (x)", "loud"])
    mist(shop, 1)
    wash(shop, 2)
    done(pots.mix(shop, "gloss", "Kit", known=MixStart(need_ml=300.0)))
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(hours=23)
        await until(hands, lambda: heard.exists() and heard.read_text().count("\n") == 3)
        assert heard.read_text().splitlines() == [
            "$HOME (x)|loud|RINSE NOW|2|",
            "$HOME (x)|loud|BIN|pot A|",
            "$HOME (x)|loud|TEST|1|",
        ]
        await hands.let_pass(seconds=1)
        assert hands.said() == ""


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("exit 3", "it ended with 3"),
        ("kill -TERM $$", "it ended with -15"),
        ("sleep 600", "it did not end within 0.05 s and was stopped"),
        (None, "No such file or directory"),
    ],
)
async def test_a_command_that_fails_is_an_answer_line_and_the_bench_goes_on(
    shop: Shop, clock: ManualClock, tmp_path: Path, text: str | None, why: str
) -> None:
    command = str(tmp_path / "gone") if text is None else script(tmp_path, text)
    soon_s = 0.05 if text == "sleep 600" else 60
    house(shop, alarm_command=[command], alarm_command_s=soon_s)
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=16)
        await until(hands, lambda: hands.said() != "")
        assert hands.said() == f"alarm command failed: {why}"
        await hands.let_pass(seconds=1)
        assert f"NO: alarm command failed: {why}" in hands.picture()
        await hands.press("2 +")
        assert "Mordant wash ALL finished" in hands.said()


async def test_a_command_never_runs_twice_at_once(
    shop: Shop, clock: ManualClock, tmp_path: Path
) -> None:
    heard, gate = tmp_path / "heard", tmp_path / "gate"
    os.mkfifo(gate)
    house(shop, alarm_command=[script(tmp_path, f'echo "$@" >> {heard}; read on < {gate}')])
    mist(shop, 1)
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=11)
        await until(hands, heard.exists)
        await hands.let_pass(minutes=5)
        assert heard.read_text().splitlines() == ["RINSE 2"], "two more wait for it"
        for so_far in (1, 2, 3):
            await until(hands, lambda n=so_far: heard.read_text().count("\n") == n)  # type: ignore[misc]
            gate.write_text("go on\n")
        assert heard.read_text().splitlines() == ["RINSE 2", "TEST 1", "RINSE NOW 2"]


async def test_the_program_ends_at_once_though_the_command_hangs(
    shop: Shop, clock: ManualClock, tmp_path: Path
) -> None:
    heard = tmp_path / "heard"
    house(shop, alarm_command=[script(tmp_path, f"echo $$ >> {heard}; sleep 600")])
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=16)
        await until(hands, lambda: heard.exists() and heard.read_text() != "")
        watch = hands.app.alarms
    assert watch._sounder._running is not None
    watch._sounder._running.wait(60)
    with pytest.raises(ProcessLookupError):
        os.kill(int(heard.read_text().split()[0]), 0)


def has_ended(pid: str) -> bool:
    """Whether a killed process is gone: that is once the kernel comes to it."""
    state = Path(f"/proc/{pid}/stat")
    for _ in range(6000):
        try:
            if state.read_text().split()[2] in "ZX":
                return True
        except OSError:
            return True
        time.sleep(0.01)
    return False


STARTS_A_CHILD = {
    "in its session": ("sleep 600 & echo $! > CHILD; wait", "was stopped"),
    "in its own": ("setsid sh -c 'echo $$ > CHILD; exec sleep 600' & wait", "was stopped"),
    "given up by its parent": (
        "setsid sh -c 'sleep 600 & echo $! > CHILD'; sleep 600",
        "was stopped",
    ),
    "left behind at a good end": (
        "setsid sh -c 'echo $$ > CHILD; exec sleep 600' & until [ -s CHILD ]; do :; done",
        "",
    ),
}


def test_what_a_command_started_is_ended_with_it(tmp_path: Path, subtests: pytest.Subtests) -> None:
    """All at once: those that are stopped are given their three seconds at the same time."""
    folders = {name: tmp_path / name.replace(" ", "-") for name in STARTS_A_CHILD}
    for name, folder in folders.items():
        folder.mkdir()
        # Before any is run: a file that is still being written cannot be.
        script(folder, STARTS_A_CHILD[name][0].replace("CHILD", str(folder / "child")))

    def run(name: str) -> str:
        how = STARTS_A_CHILD[name][1]
        return Sounder().run([str(folders[name] / "sounder")], 3 if how else 60)

    bystander = subprocess.Popen(["sleep", "600"], start_new_session=True)
    try:
        with ThreadPoolExecutor(len(STARTS_A_CHILD)) as pool:
            ran = dict(zip(STARTS_A_CHILD, pool.map(run, STARTS_A_CHILD), strict=True))
        for name, told in ran.items():
            with subtests.test(name):
                how = STARTS_A_CHILD[name][1]
                assert told.endswith(how)
                assert bool(told) == bool(how)
                assert has_ended((folders[name] / "child").read_text().strip())
        assert bystander.poll() is None, "somebody else's process goes on"
    finally:
        bystander.kill()
        bystander.wait()


# -- a kiosk ----------------------------------------------------------------------------------------


async def test_on_a_kiosk_an_alarm_runs_roots_command_and_not_the_shops(
    shop: Shop, clock: ManualClock, tmp_path: Path
) -> None:
    heard, marker = tmp_path / "heard", tmp_path / "marker"
    siren = script(tmp_path, f'echo "$@" >> {heard}')
    house(shop, alarm_command=["/usr/bin/touch", str(marker)])
    wash(shop, 2)
    async with at_the_bench(shop, clock, allowed=KioskLimits(True, (siren, "--loud"))) as hands:
        await hands.let_pass(minutes=16)
        await until(hands, lambda: heard.exists() and heard.read_text().count("\n") == 1)
        assert hands.said() == ""
        await hands.press("/ 8 5 8")
        assert "from the shop's data: not run on a kiosk" in " ".join(hands.picture().split())
    assert heard.read_text() == "--loud RINSE NOW 2\n"
    assert not marker.exists()


async def test_an_older_command_that_needs_a_shell_is_shown_and_said_and_not_run(
    shop: Shop, clock: ManualClock, tmp_path: Path
) -> None:
    marker = tmp_path / "marker"
    house(shop, alarm_command=["/bin/sh", "-c", f"touch {marker}"])
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=16)
        told = "alarm command not run: sh is a shell, and none is used: write it as a script"
        assert hands.said().startswith(told)
        await hands.press("/ 8 5")
        assert "runs nothing; does not run /bin/sh -c" in hands.picture()
    assert not marker.exists()


async def test_what_is_wrong_with_roots_files_is_said_at_the_start(
    shop: Shop, clock: ManualClock
) -> None:
    fault = Refusal("kiosk.env is not used", "somebody else could change it", "chmod 644")
    async with at_the_bench(shop, clock, allowed=KioskLimits(True, faults=(fault,))) as hands:
        assert hands.said() == str(fault)


async def test_under_the_only_alarm_it_is_not_said_that_nothing_is_to_do(
    shop: Shop, clock: ManualClock
) -> None:
    mist(shop, 1)
    async with at_the_bench(shop, clock) as hands:
        for _ in range(4):
            await hands.let_pass(minutes=3)
            await hands.press("3")
        assert "TEST" in hands.picture().splitlines()[1], "the alarm says it whole"
        assert " nothing else to do now" in hands.picture().splitlines()
